// Package physics holds the formulas a solar water heater obeys: the sun and
// its light on a tilted plane, the fluids, the collector, the tank and its
// exchanger, the pipes, the pressure of the loop, and what hot water does to
// germs and to skin.
//
// Every function is pure: no clock, no randomness, no input or output. Each
// doc comment names the unit of every value, the published source, the range
// in which the formula holds and what happens outside of it: either an error
// or a clamp that the comment describes. Where a figure is recalled rather
// than read in its source the comment says "from memory"; a rule of the trade
// without a source is marked "common practice, no source".
//
// Temperatures are in degrees Celsius, differences in kelvin, angles in
// degrees, pressures in pascal absolute unless the name says otherwise.
// Azimuth runs from north, clockwise (east 90, south 180, west 270).
package physics
