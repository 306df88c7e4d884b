// Package sim simulates a house with solar water heaters: weather, household,
// plants, faults and probes on one clock. It knows nothing of control; whoever
// drives it reads Probes and calls SetPump and SetHeater, as with hardware.
//
// The parts have packages of their own, which state their equations, their
// sources and what they leave out: sim/weather, sim/household, sim/plant. All
// randomness comes from sim/noise, each stream with a seed of its own; on one
// machine the same configuration gives the same run to the last bit.
//
// # Time
//
// Elapsed time is counted from Config.Start by Step and Advance. Any calendar
// year can be run: a typical weather year is looked up by month, day and time
// (29 February repeats 28 February), the sun stands where it really stands, and
// the household keeps the wall time of its zone.
//
// Each step looks at faults, then at the sky, draws the household's water and
// moves every plant. The sky is worked out once for a slot of minutes, a day at
// a time (weather.Table).
//
// # Several systems
//
// Draws are shared among the systems by parts, or pass through all of them in
// series, one preheating the next (Config.DrawsInSeries). Who opens a tap waits
// until the water is of use; what runs off meanwhile is counted in
// Usage.ColdLitres.
//
// # Truth and measurement
//
// House tells the truth: TruthAt a place, Truth of a system with its Hazards,
// Book of its energy, Usage of the household. A Probe makes readings of it, with
// lag, noise, bias, drift, resolution and faults. A controller under test gets
// probes only.
//
// # Faults
//
// A Fault is a row of data: a name from FaultKinds, what it happens to, when it
// starts, how long it lasts and how bad it is; House.ParseFault reads one from
// words. Overlapping faults are allowed.
// It happens to a system, a probe or the whole house: its mains power, the
// board's outputs and heat, the bus of all probes, clock and storage. Clock,
// MainsOn, Storage and BoardC are for whoever runs the controller. What a loop has lost and what a
// cut-out has tripped stays so when the fault ends, until RefillLoop and
// ResetCutOut.
//
// # Not modelled
//
// Room temperature that changes, electricity (relays as such: a welded relay is
// its consequence; a current is the power over a steady voltage), what a relief
// valve's water adds to the draw flow, and what the parts' own documentation
// names.
package sim
