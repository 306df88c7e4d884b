package sensors

import (
	"context"
	"time"
)

// Clock is the time a bus reader lives by. Instants are monotonic and count
// from the start of the program. Both methods must be safe for concurrent use.
type Clock interface {
	Now() time.Duration
	// Wait returns nil once Now has reached until, at once if it already has,
	// and ctx.Err() when the context ends first.
	Wait(ctx context.Context, until time.Duration) error
}

// Sample is what a probe gave the last time it was asked.
type Sample struct {
	// Value is in the unit of the probe's quantity, °C for temperatures. It is
	// meaningful only when Fault is nil, and not-a-number otherwise.
	Value float64
	// Taken is the Clock instant at which the probe was asked. The value is
	// never older than this, so an age reckoned from it errs to the old side.
	// A value fetched late can carry an earlier instant than the fault before.
	Taken time.Duration
	// Never is true until the first answer, or failure to answer, is in;
	// Taken is zero and Fault is of kind NotYetRead then.
	Never bool
	// Fault says in words why there is no value; nil when there is one. It is
	// a *Fault for every probe of this package: errors.As gives its parts,
	// errors.Is(fault, sensors.Absent) asks for its kind.
	Fault error
	// Raw is the record for the installer's eyes; empty when there was none.
	Raw string
	// Repeats counts how many records in a row before this one were the same
	// byte for byte. Reads that gave no record do not break the row. A probe at
	// rest repeats itself honestly for minutes; one that repeats itself for
	// hours while the plant moves is frozen. Always 0 where there are no
	// records.
	Repeats int
}

// Probe is one measuring point. Latest never blocks on a bus, is safe for
// concurrent use and does not allocate for a sample that has a value.
type Probe interface {
	Latest() Sample
}

// Bus is the reader of everything that hangs on one line.
type Bus interface {
	// Name says which bus this is, for people.
	Name() string
	// Run asks the probes in turn until the context ends, then returns
	// ctx.Err(). It returns promptly even while a read is blocked in the
	// kernel, which nothing can cancel; the reading goroutine is then left
	// behind until the kernel lets go of it. There is never more than one: a
	// later Run waits for it before it starts its own.
	Run(ctx context.Context) error
	// Stuck reports whether the reader has been held up by a single operation
	// for longer than the bus allows: since when (a Clock instant) and what it
	// is waiting for. The first two results are zero when it is not stuck.
	Stuck() (since time.Duration, what string, stuck bool)
}
