package sensors

import (
	"fmt"
	"sync"
	"sync/atomic"
	"time"
)

// EdgeLine is an input line with a contact between it and ground.
type EdgeLine interface {
	// Wait returns when the contact closes or opens, and at the latest after the
	// given time: whether it changed, and whether it is closed by that change.
	Wait(atMost time.Duration) (changed, closed bool, err error)
	// Closed tells whether the contact is closed now.
	Closed() (bool, error)
	Close() error
}

// ContactOptions describe a contact at an input line.
type ContactOptions struct {
	Line string // for people: "GPIO22 of gpiochip0"
	// Settle is how long the contact must have been quiet before a change
	// counts: longer than it bounces, shorter than it stays closed.
	Settle time.Duration
	Open   func() (EdgeLine, error)
}

// contact counts how often a contact closes. A goroutine of its own waits for
// the line; who asks takes what was counted.
type contact struct {
	options ContactOptions
	current *listener // nil while the line is not open
}

// listener is one goroutine at an open line.
type listener struct {
	stop atomic.Bool

	mu    sync.Mutex
	tally tally
	err   error
}

// tally is what was seen of a contact since its line was opened.
type tally struct {
	count  uint64        // times it has closed
	last   time.Duration // instant of the last time
	closed bool          // now
}

// longestWait bounds how long a listener takes to see that it shall stop.
const longestWait = time.Second

func newContact(o ContactOptions) (*contact, error) {
	if o.Settle <= 0 || o.Settle > time.Second || o.Open == nil {
		return nil, fmt.Errorf("contact at %s: it needs a line, and up to 1 s to settle, not %v", o.Line, o.Settle)
	}
	return &contact{options: o}, nil
}

// look gives what was counted, and whether counting began anew.
func (c *contact) look(clock Clock) (t tally, anew bool, err error) {
	if c.current == nil {
		line, err := c.options.Open()
		if err != nil {
			return tally{}, false, err
		}
		closed, err := line.Closed()
		if err != nil {
			_ = line.Close() // the error at hand counts
			return tally{}, false, err
		}
		c.current, anew = &listener{tally: tally{closed: closed}}, true
		go c.current.listen(line, closed, clock, c.options.Settle)
	}
	c.current.mu.Lock()
	defer c.current.mu.Unlock()
	t, err = c.current.tally, c.current.err
	if err != nil {
		c.current = nil // it has let go of its line; the next look opens it anew
	}
	return t, anew, err
}

// Period is that of a line of contacts: what was counted is fetched as often as
// there is a tick, since nothing on a bus is asked for it.
func (c *contact) Period() time.Duration { return time.Second }

// Close ends the listening; the line is let go of within a second.
func (c *contact) Close() error {
	if c.current != nil {
		c.current.stop.Store(true)
		c.current = nil
	}
	return nil
}

// listen counts until it is stopped or the line fails, and then closes the line.
// closed is how the contact was when the line was opened.
func (l *listener) listen(line EdgeLine, closed bool, clock Clock, settle time.Duration) {
	d := debouncer{settled: closed, latest: closed}
	var err error
	for err == nil && !l.stop.Load() {
		err = l.wait(line, clock, settle, &d)
	}
	if closing := line.Close(); err == nil {
		err = closing
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	l.err = err
}

func (l *listener) wait(line EdgeLine, clock Clock, settle time.Duration, d *debouncer) error {
	atMost := longestWait
	if d.unsettled() {
		atMost = settle
	}
	changed, closed, err := line.Wait(atMost)
	if err == nil && !changed {
		closed, err = line.Closed() // also finds a change whose edge was lost
	}
	if err != nil {
		return err
	}
	if changed || closed != d.latest {
		d.edge(closed, clock.Now())
		return nil
	}
	if d.unsettled() {
		l.settle(d)
	}
	return nil
}

// settle takes over what the line has come to rest at.
func (l *listener) settle(d *debouncer) {
	d.settled = d.latest
	l.mu.Lock()
	defer l.mu.Unlock()
	l.tally.closed = d.settled
	if d.settled {
		l.tally.count++
		l.tally.last = d.at
	}
}

// debouncer keeps bounces and spikes apart from changes: one counts once no edge
// has followed it for the time to settle.
type debouncer struct {
	settled bool          // closed, as it was last at rest
	latest  bool          // closed, by the newest edge
	at      time.Duration // of the newest edge that led away from rest
}

func (d *debouncer) unsettled() bool { return d.latest != d.settled }

func (d *debouncer) edge(closed bool, at time.Duration) {
	if !d.unsettled() {
		d.at = at
	}
	d.latest = closed
}
