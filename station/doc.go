// Package station is the running daemon: it builds probes, controller and
// outputs from a site, keeps the tick, remembers on disk and tells the service
// manager how it is.
//
// # The tick
//
// Once a second of its [Clock] the station takes the newest reading of every
// probe, lets the controller step, drives every output anew, and hands what it
// saw and did to its watchers as one immutable tick. Nothing that can block
// stands on that path but the outputs themselves: buses are read by goroutines
// of their own, watchers are fed through mailboxes that forget the oldest tick
// when they are full, the state goes to disk from a goroutine that only knows
// the newest one, messages to the service manager and to the log are queued.
// An output that does not come back from its driver stops the tick, and with
// it the feeding of the service manager's watchdog, so that the program is
// restarted: a pump or heater that nobody can switch is no thing to carry on
// with.
//
// # On the way out
//
// An end signal, a panic in the tick or in a goroutine of the station, and
// every error drive all outputs off first. After that the state is saved and
// the servers are stopped. What no program can do (a kill, a kernel fault, a
// short in the relay) is the business of the wiring: see package actuators.
//
// # Memory
//
// The controller's state goes to the state folder soon after something has
// happened, and every quarter of an hour. Every call to the storage is made
// through one small interface (disk.go), so that the tests can let the power go,
// and let the call fail, at each of them: the next start finds the last state or
// the one under way, and starts in any case. A state on which two starts in a
// row have failed is set aside (take_up.go). Once the clock is trusted, the
// controller is told how long no program has run.
//
// # Lockstep
//
// With a [Lockstep] clock the whole program can be run deterministically and
// faster than time, by tests and by a bench. [Lockstep.Serve] speaks with
// whoever drives it, one line of text each way:
//
//	← ready
//	→ advance 12s 2026-01-05T06:00:00Z trusted
//	← ready
//	→ advance 13s 2026-01-05T06:00:01Z untrusted
//	← ready
//	→ advance 11s 2026-01-05T06:00:02Z trusted
//	← error: the clock stands at 13s and does not go back to 11s
//
// The first "ready" comes when the program has started and made its tick at
// instant 0, with the wall clock at 1970 and not trusted. "advance" carries
// the instant to go to, counted from the start of the program and written as
// Go writes durations ("90s", "1h30m"); the wall clock at that instant, in
// RFC 3339; and whether the board would trust it. On the way there every bus
// pass and every tick that falls due is run at its own instant, one after the
// other, buses before the tick when both are due at once; the wall clock moves
// along, so that a jump of it happens at the beginning of the way. The answer
// "ready" means that all of them have finished and wait for the next instant,
// that the watchers have seen the last tick and that a save which was due is
// done. Whoever does not come back, such as a bus reader blocked in the
// kernel, is given up on after five seconds of real time and named: "ready
// without bus 1-wire". The clock carries on without it until it waits again.
// An empty line is skipped; a line that can't be understood moves nothing and
// is answered with "error: " and what is wrong. The end of the lines stops the
// program as an end signal does.
package station
