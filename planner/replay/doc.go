// Package replay asks what other settings would have done: it lets the real
// controller decide anew on recorded readings, and a simulated twin of the house
// live through the same time under both settings.
//
// Neither is a proof. Recorded readings do not answer to what is decided anew: a
// heater that would have started an hour earlier finds the tank as cold as it was.
// They are minute means, between which a line is drawn, what people asked for by
// hand is not among them, and the controller begins without its memory. How often
// a replay under the present settings does what was really done is told, so that
// one sees how far to trust it. The twin answers to what is decided, and lives with
// weather and draws of its own.
//
// The twin's figures are the site file's, or those of a fit: the loss of the tank,
// the collector's optical efficiency and loss and the coil's heat transfer at which
// a simulated plant, driven as the real one was in the weather that there was, comes
// nearest to what was read. That works on days on which nobody draws water, which follow
// another such day, and in their hours without passing clouds: how the water lay when
// the simulation began, and what came within the hour of which the weather tells the
// mean alone, would make the figures wrong, all in the same direction.
package replay
