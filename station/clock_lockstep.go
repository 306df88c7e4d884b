package station

import (
	"context"
	"fmt"
	"slices"
	"sync"
	"time"

	"sunstoker/control"
)

// lockstepPatience is the real time after which somebody who does not come
// back is given up on.
const lockstepPatience = 5 * time.Second

// Lockstep is a clock that stands still until it is told to advance; see the
// package comment. The clock at the start stands at 0, in 1970, untrusted.
type Lockstep struct {
	advancing sync.Mutex // one Advance at a time
	patience  time.Duration

	mu      sync.Mutex
	now     time.Duration
	wallAt0 time.Time // wall clock less now
	trusted bool
	members []*lockMember
	work    map[*string]bool // busy now; true when given up on
	settled chan struct{}    // closed when nobody runs any more; nil when nobody asks
}

// lockMember is one goroutine. It runs from Join, or from being woken, until
// it waits.
type lockMember struct {
	clock   *Lockstep
	name    string
	turn    Turn
	until   time.Duration
	woken   chan struct{} // not nil while it waits
	givenUp bool
}

// NewLockstep gives a clock that stands still.
func NewLockstep() *Lockstep {
	return &Lockstep{
		patience: lockstepPatience,
		wallAt0:  time.Unix(0, 0).UTC(),
		work:     map[*string]bool{},
	}
}

// Now implements [Clock].
func (c *Lockstep) Now() time.Duration {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

// Wall implements [Clock].
func (c *Lockstep) Wall() control.Wall {
	c.mu.Lock()
	defer c.mu.Unlock()
	return control.Wall{Time: c.wallAt0.Add(c.now), Trusted: c.trusted}
}

// Seen implements [Clock]: whoever drives the clock says what to trust.
func (c *Lockstep) Seen(time.Time) {}

// Join implements [Clock].
func (c *Lockstep) Join(name string, turn Turn) Member {
	c.mu.Lock()
	defer c.mu.Unlock()
	m := &lockMember{clock: c, name: name, turn: turn}
	c.members = append(c.members, m)
	return m
}

// Busy implements [Clock].
func (c *Lockstep) Busy(name string) (done func()) {
	c.mu.Lock()
	defer c.mu.Unlock()
	token := &name
	c.work[token] = false
	return func() {
		c.mu.Lock()
		defer c.mu.Unlock()
		delete(c.work, token)
		c.look()
	}
}

// Now implements [sensors.Clock].
func (m *lockMember) Now() time.Duration { return m.clock.Now() }

// Wait implements [sensors.Clock]. It lets others go first even when its
// instant has come, so that all who are due run in the order of their turns.
func (m *lockMember) Wait(ctx context.Context, until time.Duration) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	c := m.clock
	c.mu.Lock()
	woken := make(chan struct{})
	m.until, m.woken, m.givenUp = until, woken, false
	c.look()
	c.mu.Unlock()
	select {
	case <-woken:
	case <-ctx.Done():
		c.mu.Lock()
		m.woken = nil // it runs again, on its way out
		c.mu.Unlock()
	}
	return ctx.Err()
}

// Leave implements [Member].
func (m *lockMember) Leave() {
	c := m.clock
	c.mu.Lock()
	defer c.mu.Unlock()
	c.members = slices.DeleteFunc(c.members, func(o *lockMember) bool { return o == m })
	c.look()
}

// Advance runs everything that is due up to the instant to, each at its own
// instant, and returns when all wait again. Wall is the wall clock at that
// instant. It names whoever was given up on for not coming back. The error
// says that to lies in the past, or that the context ended.
func (c *Lockstep) Advance(ctx context.Context, to time.Duration, wall control.Wall) (without []string, err error) {
	c.advancing.Lock()
	defer c.advancing.Unlock()
	if err := c.set(to, wall); err != nil {
		return nil, err
	}
	for {
		if err := c.settle(ctx); err != nil {
			return nil, err
		}
		if !c.wakeNext(to) {
			return c.absent(), nil
		}
	}
}

func (c *Lockstep) set(to time.Duration, wall control.Wall) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	if to < c.now {
		return fmt.Errorf("the clock stands at %v and does not go back to %v", c.now, to)
	}
	c.wallAt0, c.trusted = wall.Time.Add(-to), wall.Trusted
	return nil
}

// wakeNext wakes the first who is due by the instant to and moves the clock to
// its instant. When nobody is due it moves the clock to the end of the way.
func (c *Lockstep) wakeNext(to time.Duration) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	var first *lockMember
	for _, m := range c.members {
		if m.woken == nil || m.until > to {
			continue
		}
		at := max(m.until, c.now)
		if first == nil || at < max(first.until, c.now) || at == max(first.until, c.now) && m.turn < first.turn {
			first = m
		}
	}
	if first == nil {
		c.now = to
		return false
	}
	c.now = max(c.now, first.until)
	close(first.woken)
	first.woken = nil
	return true
}

// settle returns when everyone waits. Those who do not within the patience are
// given up on.
func (c *Lockstep) settle(ctx context.Context) error {
	for {
		c.mu.Lock()
		if !c.running() {
			c.mu.Unlock()
			return ctx.Err()
		}
		settled := make(chan struct{})
		c.settled = settled
		c.mu.Unlock()
		select {
		case <-settled:
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(c.patience):
			c.giveUp()
		}
	}
}

// look tells the one who settles that nobody runs any more; the mutex is held.
func (c *Lockstep) look() {
	if c.settled != nil && !c.running() {
		close(c.settled)
		c.settled = nil
	}
}

func (c *Lockstep) running() bool {
	for _, givenUp := range c.work {
		if !givenUp {
			return true
		}
	}
	return slices.ContainsFunc(c.members, func(m *lockMember) bool { return m.woken == nil && !m.givenUp })
}

func (c *Lockstep) giveUp() {
	c.mu.Lock()
	defer c.mu.Unlock()
	for _, m := range c.members {
		m.givenUp = m.woken == nil
	}
	for token := range c.work {
		c.work[token] = true
	}
}

// absent names everyone who was given up on, sorted.
func (c *Lockstep) absent() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	var names []string
	for _, m := range c.members {
		if m.woken == nil {
			names = append(names, m.name)
		}
	}
	for token := range c.work {
		names = append(names, *token)
	}
	slices.Sort(names)
	return slices.Compact(names)
}
