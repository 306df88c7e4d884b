// Package guard keeps outputs on only while somebody goes on asking for it.
//
// A program that is killed, hangs or is stopped leaves its outputs to the kernel
// and the wiring, and many boards then keep a line as it was last driven. So a
// small process of its own, the [Guard], holds the outputs in its place. The
// daemon asks for levels over a Unix socket ([Client]), and each of them holds
// for [Lease] alone: what is not asked for again goes off.
//
//	what happens to the daemon                 the guard's outputs are off
//	killed, crashed, ended in whatever way     at once: its connection ends
//	hung, stopped, waiting for a driver        Lease after its last word
//	lost its connection                        at once
//
// The guard opens its outputs before it listens, which drives them off, and
// drives them off again for every program that comes. It serves one program at a
// time and names it to others; only one that has been silent for a lease has to
// make room. What was dropped because nobody asked for it is told with the next
// word about it, and a wish for "on" that comes with that word is not carried
// out: a daemon that lags must know that a minimum rest has begun.
//
// The guard is one goroutine without locks, and knows nothing of houses, probes
// and rules: the fewer lines it has, the fewer can hang. Should it do so all the
// same, its service manager's watchdog ends it (its way round is the only place
// that feeds it), and its own stop hook switches off.
//
// When the guard itself dies, the kernel has the lines back. Some boards then
// keep them as they were, until the stop hook or the next guard drives them off.
// The daemon sees the connection end, takes the outputs for off, refuses to
// drive anything until a guard is there again, and reports it.
//
// # The words
//
// The socket keeps the borders of messages (SOCK_SEQPACKET), and each is one
// line of text, but for the first, which lists the wiring line by line:
//
//	→ hello 1, and a line of words for each output     ← 0 ok
//	→ drive 1 0.8 urgent                                ← 1 ok
//	→ off 1                                             ← 0 ok
//	→ look 0                                            ← 0 ok
//
// Outputs and banks are counted from 0 in the order of the wiring. Each answer
// begins with the level that the output drives now; what follows is "ok" or an
// error in words. "look" reads the lines of a bank back. A program whose wiring
// is another one than the guard's is refused, and the guard ends, so that its
// service manager starts it anew with the site file of today.
package guard
