package sensorstest

import (
	"context"
	"sync"
	"time"
)

// Clock is a sensors.Clock that stands still until it is advanced. The zero
// value is ready and stands at 0.
type Clock struct {
	mu      sync.Mutex
	now     time.Duration
	waiting []*waiter
	arrived chan struct{} // closed at the next arrival of a waiter
}

type waiter struct {
	until time.Duration
	woken chan struct{}
}

// Now implements sensors.Clock.
func (c *Clock) Now() time.Duration {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Wait implements sensors.Clock.
func (c *Clock) Wait(ctx context.Context, until time.Duration) error {
	w, due := c.enter(ctx, until)
	if due {
		return ctx.Err()
	}
	select {
	case <-w.woken:
		return nil
	case <-ctx.Done():
		c.leave(w)
		return ctx.Err()
	}
}

func (c *Clock) enter(ctx context.Context, until time.Duration) (w *waiter, due bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if ctx.Err() != nil || until <= c.now {
		return nil, true
	}
	w = &waiter{until: until, woken: make(chan struct{})}
	c.waiting = append(c.waiting, w)
	if c.arrived != nil {
		close(c.arrived)
		c.arrived = nil
	}
	return w, false
}

func (c *Clock) leave(w *waiter) {
	c.mu.Lock()
	defer c.mu.Unlock()
	for i, other := range c.waiting {
		if other == w {
			c.waiting = append(c.waiting[:i], c.waiting[i+1:]...)
			return
		}
	}
}

// Advance moves the clock on and wakes everyone whose instant has come. Who is
// woken no longer counts as waiting when Advance returns, so that a following
// AwaitWait waits for the next Wait.
func (c *Clock) Advance(by time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now += by
	kept := c.waiting[:0]
	for _, w := range c.waiting {
		if w.until <= c.now {
			close(w.woken)
		} else {
			kept = append(kept, w)
		}
	}
	c.waiting = kept
}

// AwaitWait returns once somebody waits, with the earliest instant waited for,
// or with ctx.Err() when the context ends first.
func (c *Clock) AwaitWait(ctx context.Context) (time.Duration, error) {
	for {
		earliest, arrived := c.earliest()
		if arrived == nil {
			return earliest, nil
		}
		select {
		case <-arrived:
		case <-ctx.Done():
			return 0, ctx.Err()
		}
	}
}

// earliest gives a channel to wait on when nobody waits.
func (c *Clock) earliest() (time.Duration, <-chan struct{}) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if len(c.waiting) == 0 {
		if c.arrived == nil {
			c.arrived = make(chan struct{})
		}
		return 0, c.arrived
	}
	earliest := c.waiting[0].until
	for _, w := range c.waiting[1:] {
		earliest = min(earliest, w.until)
	}
	return earliest, nil
}
