// Package sensorstest helps to test whatever reads probes: a clock that moves
// only when told to, and a folder shaped like the kernel's 1-wire tree.
package sensorstest
