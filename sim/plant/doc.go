// Package plant simulates one solar water heater: a collector field, its loop
// and its tank of drinking water. It knows no control and no probes; it takes
// a pump level, a heater switch, the surroundings and draws, and moves the
// truth on.
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
// step; see type loop. Pipes are one stirred node each, with loss to room and
// outdoor air.
//
// Natural circulation, while the pump rests and no check valve holds: drive is
// minus the integral of rho g dz over cold pipe, collector, hot pipe and coil
// (package physics), each at its own mean temperature; the resistance is linear
// in the flow (laminar), scaled from the loop's pressure drop at full level. The
// flow follows within a minute or so and may run backwards. A plant without a
// pump is one with the collector below the tank, no check valve and a pump that
// is never asked to run.
//
// Coil: effectiveness 1 - exp(-UA/(m cp)) against each tank cell it passes
// (Incropera / Kays and London), UA constant.
//
// Tank: a plug of cells that moves up with each draw; no mixing by the draw
// itself, so a draw is delivered as hot as the layer it came from. Between
// whole layers Fourier conduction with one effective conductivity, loss
// UA (T - room) spread over the height and exact over the step, warm water
// below cold rises and mixes at once. One layer means a stirred tank.
//
// Heater: its power goes into the water beside it, one layer thick, and from
// there upwards by mixing. Its thermostat and its cut-out act by themselves.
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
// coil is one more link. The tank knows neither coil nor heater; it offers
// spread and heat for sources at a height, pull for water that leaves the top
// and relax for standing, which a store of loop fluid with a drinking-water coil
// or a circulation line that returns at mid-height can use as well. What breaks
// is a field of Damage and a row of the fault table in package sim. What is to be
// read is a field of Truth and a row of the places there.
//
// # Not modelled
//
// Steam and what it does to the loop (above boiling the collector goes on by
// the same equation, and Hazards says so), pressure and expansion, freezing
// and bursting (Hazards says where it would begin), pump heat, transport delay
// in the pipes beyond one stirred node, flow that depends on viscosity, coil UA
// that depends on flow and temperature, the mixing jet of the cold inlet,
// different loss of lid and wall, wind and long-wave terms of the collector,
// the second temperature dependence of the collector's optics, shading of
// parts of the field, hot-water circulation, tanks filled with loop fluid.
package plant
