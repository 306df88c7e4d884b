// Package hil tries the daemon and its guard in a real kernel: Debian's own,
// booted in an emulator, with the kernel's simulated GPIO chip (gpio-sim) for the
// relays, the kernel's one-wire core with a bus master of our own for the probes,
// and the kernel's software watchdog. "make hil" boots it; the tests stand
// behind the build tag hil and run inside, as the boot script (boot) and the
// guest's first process (guest/init) set it up.
//
// What is measured is the time from a death of the daemon, of whatever kind, to
// the level of the simulated line, as the kernel shows it. A simulated line falls
// back to its pull when it is released, so that both kinds of board can be tried:
// those whose lines rest low then (pull-down), and those that leave an output on
// (pull-up stands for them).
//
// Beside that the kernel's trace is recorded from before the first test to after the
// last, with what the tests did written into it: [Doings] makes the one table of it
// that tells every level which changed, and the levels that follow from it are held
// against the chip's at the end. The bus can hang in the kernel, the clock is set by
// years, and the state's file system is full or read-only.
//
// The guest's time goes by its own instructions, 4 ns each, so that figures do not
// depend on how busy the host is; it stands for a board of some 250 million
// instructions a second.
//
// The emulated board (boot-pi, "make hil-pi") has a real pin controller, with
// Debian's arm64 kernel told once to keep the outputs of a program that is gone
// and once to free them; a folder stands for its probes.
//
// What is not tried here: real pins, relays and wires, and the times of a real
// board.
package hil
