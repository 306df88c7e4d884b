package station

import (
	"context"
	"time"

	"sunstoker/control"
	"sunstoker/sensors"
)

// Clock is the time that the station lives by. Instants are monotonic and
// count from the start of the program. All methods are safe for concurrent
// use.
type Clock interface {
	Now() time.Duration
	// Wall is the civil time as far as the board can trust it.
	Wall() control.Wall
	// Seen tells the clock a wall time that an earlier run trusted: it can't
	// be earlier than that now.
	Seen(wall time.Time)
	// Join lets a goroutine wait for instants. The name is for people.
	Join(name string, turn Turn) Member
	// Busy says that work is under way which an observer should see finished,
	// until done is called.
	Busy(name string) (done func())
}

// Member is the clock of one goroutine, which alone may call Wait.
type Member interface {
	sensors.Clock
	// Leave ends the membership; the goroutine waits no more.
	Leave()
}

// Turn orders goroutines that are due at the same instant.
type Turn uint8

// The turns, first to last.
const (
	BusTurn  Turn = iota // reads probes
	TickTurn             // decides by what was read
)

// free is the part of a clock whose time passes by itself.
type free struct{ start time.Time } // with its monotonic part

// Now implements [Clock].
func (f free) Now() time.Duration { return time.Since(f.start) }

// Wait implements [sensors.Clock].
func (f free) Wait(ctx context.Context, until time.Duration) error {
	for {
		if err := ctx.Err(); err != nil {
			return err
		}
		left := until - f.Now()
		if left <= 0 {
			return nil
		}
		timer := time.NewTimer(left)
		select {
		case <-timer.C:
		case <-ctx.Done():
			timer.Stop()
		}
	}
}

// Join implements [Clock]: time passes for everyone alike.
func (f free) Join(string, Turn) Member { return f }

// Leave implements [Member].
func (f free) Leave() {}

// Busy implements [Clock]: nobody waits for the work.
func (f free) Busy(string) (done func()) { return func() {} }
