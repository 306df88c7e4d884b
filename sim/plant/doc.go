// Package plant simulates one solar water heater: a collector field, its loop
// and its tank, of drinking water or of loop fluid, with the hot-water line to
// the taps. It knows no control and no probes; it takes a pump level, a heater
// switch, the surroundings and draws, and moves the truth on.
//
// # Models
//
// Collector: a row of stirred cells in flow direction, each with its part of
// the area and of the effective heat capacity,
//
//	C dT/dt = A (eta0 G - a1 (Tm - Ta) - a2 (Tm - Ta)^2) + m cp (Tin - T)
//
// with the coefficients of ISO 9806 / EN 12975-2 (package physics). G already
// holds the incidence-angle modifier. Tm weighs inlet and outlet of the cell
// by the flow (collector.setFlow), so that steady output agrees with the published equation
// for the mean fluid temperature within half a percent of the irradiance, and
// the temperature without flow is the root of that equation. The quadratic
// term is taken at the old temperature; everything else is implicit. At night
// Ta is lowered by a share of the sky's coldness (NightSkyDropShare; common
// practice, no source), since the published coefficients belong to days.
//
// Loop: mass flow is pump level times flow at full level times density. The
// circuit of collector, hot pipe, coil and cold pipe is closed exactly in each
// step; see type loop.
//
// Pipes: plug flow. What enters leaves when the content has followed, colder by
// exp(-t/tau), which is exp(-UA/(m cp)) along the pipe (package physics). Small
// parcels are put together, so a front is smeared over a 24th of the content.
// The heat capacity is that of the fluid at 50 degC; the metal is left out.
//
// Natural circulation, while the pump rests and no check valve holds, is the
// flow at which drive and friction are equal:
//
//	-closed integral of rho g dz = sum of f L/d rho v^2/2 + sum of K rho v^2/2
//
// with the densities of cold pipe, each collector cell, hot pipe and four legs
// of the coil (package physics), Hagen-Poiseuille and Blasius with the viscosity
// of each pipe's temperature, and the fittings' loss factors. It is solved anew
// whenever drive or temperatures have moved enough; the flow follows with a lag of a
// minute (backward Euler), which hides the inertia of the fluid. It runs
// backwards when the drive does, unless a valve holds; CheckOpensPa lets a light
// valve be lifted forwards. Without bores in the pipes the resistance is linear
// in the flow, scaled from LoopHeadPa. TypicalNatural is such a plant.
//
// Sealed loop (Config.Sealing): content and cushion obey Boyle's law,
//
//	V - V p0/p = reserve + growth + steam - lost + air pa/(p - head)
//
// growth being that of collector, pipes and coil by the fluid's density, head
// the column between vessel and collector. Density is clamped beyond the fluid's
// range (100 degC for glycol): a liquid hotter than that grows no more. The
// boiling point is that of the pressure at the collector. A cell at its boiling
// point takes up the latent heat of the part of its content that boils (0.15;
// common practice, no source) before it gets hotter, and gives it back as it
// condenses (enthalpy method, type steam); StoredJ holds it. The steam pushes the
// cell's content into the vessel. Beyond that the collector is dry and goes on by
// its equation to the stagnation temperature. The relief valve opens at its
// setting, closes at 0.9 of it and lets fluid go; where the pressure at the
// collector would fall below that of the air, air comes in, and a bubble of a
// fifth of the collector's content stops the flow. RefillLoop ends that. All of
// it is looked at every five minutes, and at each step while something boils or
// freezes.
//
// Frost: water blocks at its freezing point; a mixture turns to slush and blocks
// 4 K below it (common practice, no source). What stays an hour below the burst
// point by the share of glycol (a maker's guide, from memory; 35 % by volume and
// more never, read) has burst, and runs out when it thaws.
//
// Coil: effectiveness 1 - exp(-UA/(m cp)) against each tank cell it passes
// (Incropera / Kays and London), UA constant.
//
// Tank: a plug of cells that moves up with each draw, so a draw is delivered as
// hot as the layer it came from. The draw itself mixes nothing, unless
// InletMixing lets the jet of the cold inlet stir the lowest share of the tank:
// then that part empties as exp(-V/Vs), and what lies above comes first. Between
// whole layers Fourier conduction with one effective conductivity, loss
// UA (T - room) spread over the height and exact over the step, warm water
// below cold rises and mixes at once. One layer means a stirred tank.
//
// Heater: its power goes into the water beside it, one layer thick, and from
// there upwards by mixing. Its thermostat and its cut-out act by themselves.
//
// Store of loop fluid (Config.Store), open or at little pressure: the loop's
// fluid enters at a height, or by layers where the store is as warm as it, and
// passes the layers down to its outlet, stirred in each: tanks in series, one
// backward Euler step in time, which the loop closes exactly (type coil with
// effectiveness 1). Drinking water runs up through a coil and takes
// 1 - exp(-NTU) of each layer's excess in turn (Incropera / Kays and London);
// its transfer depends on the flow by the inside resistance, which falls with
// flow^0.8 (Dittus and Boelter; type tapCoil), so a big draw comes cooler. The
// tempering valve sits behind the coil, and only what the mixture needs passes
// it. The fluid counts its volumetric heat capacity at 50 degC. The store loses
// some fluid a day and what boils off (heat of evaporation at 100 degC); the
// level is told (Truth.StoreLevel), not felt, but a heater above it is bare.
//
// Hot-water line and circulation (Config.Circulation): supply and return are
// pipes with plug flow of eight travelling cells, each cooling exactly by
// exp(-t/tau), which is Ta + (T - Ta) exp(-UA/(m cp)) along the pipe. Loss is
// counted at the end of a step, so in steps that are long against the water's
// way through the pipe the drop comes out too large by half their ratio. The
// ring's water enters the tank at ReturnHeight and passes the layers above as
// the direct loop passes a store; in a store it takes the upper part of the
// drinking-water coil. Without pump the line cools, and who opens a tap lets
// run off what is too cold, at most its content (Draw.LetRun): V/flow is the
// wait. The litres come on top of the draw and take no time in it. Tempering
// valves sit at the taps, behind the line.
//
// Series (TapSeries): the water of one plant enters the next, piece by piece;
// each book counts as drawn what the water gained in its plant. A relief valve
// is refilled by the main all the same.
//
// Heater faults: a bare element sends its heat into the room for a minute and is
// burnt out then (common practice, no source). A scaled one loses a share of its
// power in the mean, as it cycles on its own protection.
//
// Drinking water counts 4180 J/(kg K) and 1 kg a litre at all temperatures.
//
// # Steps
//
// Any step from 0 to 60 s is stable. Constants that depend on the step length
// are kept between steps, so changing the length at each step costs time.
//
// # Where new things go
//
// The circuit is a chain of links, each a slope and an offset between entering
// and leaving temperature (type loop): a plate exchanger, a bypass or a second
// coil is one more link, and a heat dump (a radiator
// out of doors, dump.go) another in its place. The tank knows neither coil nor heater; it offers
// spread and heat for sources at a height, pull for water that leaves the top
// and relax for standing, and type coil for whatever passes its cells. What not every
// plant has is a step of stepExtras. A new kind of plant is one more row in
// kinds_test.go, which puts it under anything. What breaks
// is a field of Damage and a row of the fault table in package sim. What is to be
// read is a field of Truth and a row of the places there.
//
// # Not modelled
//
// In the loop: steam that spreads into the pipes and condenses there, heat that
// lost fluid takes with it, the capacity a dry collector lacks (it keeps that of
// the full one), the latent heat of freezing, gas that warms, air that dissolves
// or is vented; pump heat, the pump's curve (its flow is set by its level), flow
// into steam beyond what the balance of heat does; solar coil UA that depends on
// flow and temperature, snow that insulates or slides off;
// different loss of lid and wall, wind and long-wave terms of the collector,
// the second temperature dependence of the collector's optics, shading of
// parts of the field; the water that waits in a drinking-water coil (its first
// litres come hotter), the film outside it, taps that share it at one moment
// (each is computed with its own flow), a sinking store's lesser heat capacity;
// gravity flow in a resting ring, the metal of the hot-water line, branches from
// the line to single taps, tempering valves at the tank, an inlet jet that
// depends on the flow.
package plant
