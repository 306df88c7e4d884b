package sensors

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sync/atomic"
	"time"
)

const (
	defaultPeriod = 2 * time.Second
	restShare     = 4 // the rest is the period divided by this

	// DefaultStuckAfter is longer than any operation takes (a current clamp needs
	// less than 1 s, the kernel's tries at a 1-wire probe up to some 4 s) and short
	// enough for a bus to be named within 5 s.
	DefaultStuckAfter = 4500 * time.Millisecond
)

// ErrRunning is returned by Run while another Run of the same bus is on.
var ErrRunning = errors.New("the bus already has a running reader")

// polling is what every bus has that is read by asking: one goroutine that
// passes over all probes again and again, what it does at present, and the
// mistakes that were caught while it did.
type polling struct {
	name       string
	clock      Clock
	period     time.Duration
	stuckAfter time.Duration
	failed     func(error) // told of a new mistake; may be nil

	running   atomic.Bool
	reader    chan struct{} // holds one token while a reading goroutine lives
	operation atomic.Pointer[operation]
	mistakes  mistakes
}

// operation is one call into the kernel that has not returned yet.
type operation struct {
	what  string
	since time.Duration
}

// init fills in a bus; zero durations take the defaults.
func (b *polling) init(name string, clock Clock, period, stuckAfter time.Duration, failed func(error)) error {
	if period < 0 || stuckAfter < 0 {
		return fmt.Errorf("bus %s: period %v and stuck limit %v must not be negative", name, period, stuckAfter)
	}
	b.name, b.clock, b.failed = name, clock, failed
	b.period = orDefault(period, defaultPeriod)
	b.stuckAfter = orDefault(stuckAfter, DefaultStuckAfter)
	b.reader = make(chan struct{}, 1)
	return nil
}

// Name implements [Bus].
func (b *polling) Name() string { return b.name }

// Stuck implements [Bus]; what names the file, the part or the request.
func (b *polling) Stuck() (since time.Duration, what string, stuck bool) {
	op := b.operation.Load()
	if op == nil || b.clock.Now()-op.since <= b.stuckAfter {
		return 0, "", false
	}
	return op.since, op.what, true
}

// begin notes what the reader is about to wait for.
func (b *polling) begin(what string) (end func()) {
	b.operation.Store(&operation{what, b.clock.Now()})
	return func() { b.operation.Store(nil) }
}

// run is Run of a bus whose reading goroutine is read. A second one at the same
// time gives ErrRunning.
func (b *polling) run(ctx context.Context, read func(context.Context) error) error {
	if !b.running.CompareAndSwap(false, true) {
		return fmt.Errorf("bus %s: %w", b.name, ErrRunning)
	}
	defer b.running.Store(false)
	select {
	case b.reader <- struct{}{}:
	case <-ctx.Done():
		return ctx.Err()
	}
	ended := make(chan error, 1)
	go func() {
		defer func() { <-b.reader }()
		ended <- read(ctx)
	}()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// passes repeats a pass until the context ends. One that takes longer than the
// period is followed by a rest.
func (b *polling) passes(ctx context.Context, pass func(context.Context)) error {
	for ctx.Err() == nil {
		begun := b.clock.Now()
		pass(ctx)
		rest := b.clock.Now() + b.period/restShare
		if err := b.clock.Wait(ctx, max(begun+b.period, rest)); err != nil {
			return err
		}
	}
	return ctx.Err()
}

// mistakes counts the panics that were caught on a bus. Last belongs to the
// reading goroutine.
type mistakes struct {
	count atomic.Uint64
	last  string
}

// Mistakes counts how often this program has failed while it read the bus.
func (b *polling) Mistakes() uint64 { return b.mistakes.count.Load() }

// guard calls do and catches a panic in it: a mistake in the reading of one
// probe must not take the other probes, the pump and the heater with it. publish
// is given the fault of the probe that was asked, if it was about one (else nil).
func (b *polling) guard(publish func(Sample), do func()) {
	defer func() {
		value := recover()
		if value == nil {
			return
		}
		count := b.mistakes.count.Add(1)
		what := fmt.Sprintf("%v at %s", value, panicSite())
		if publish != nil {
			now := b.clock.Now()
			publish(Sample{Value: math.NaN(), Taken: now, Fault: &Fault{
				Kind:   ReaderFailed,
				Detail: fmt.Sprintf("%s; failures on this bus since the start: %d; tell whoever looks after the program", what, count),
				Since:  now,
			}})
		}
		if b.failed != nil && what != b.mistakes.last {
			b.failed(fmt.Errorf("bus %s: this program failed while it read: %s", b.name, what))
		}
		b.mistakes.last = what
	}()
	do()
}
