// Package survey shows an installer what hangs on the buses, live, and finds out
// which probe is which by the one that warms in the hand.
//
// With a site it reads every probe that the file names and whatever else is on
// the 1-wire tree; without one, the 1-wire tree, and it lists the kernel's other
// buses. It switches nothing. While the daemon has the site in hand, 1-wire probes
// alone are read: the kernel lets any number of programs do so, while every other
// device takes one caller.
package survey
