package sensors

import (
	"context"
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

// pulseRate turns a count into pulses a second.
type pulseRate struct {
	count  uint64
	last   time.Duration
	known  bool // last is the instant of a pulse
	perSec float64
}

// longestGap is the time without a pulse after which nothing flows.
const longestGap = 5 * time.Minute

// update takes a new count. Between two looks the rate is that of the pulses
// from the last one before to the newest; without a new one it is at most what
// the time since then still allows.
func (r *pulseRate) update(t tally, now time.Duration) float64 {
	fresh := t.count - r.count
	switch {
	case fresh > 0:
		if r.known && t.last > r.last {
			r.perSec = float64(fresh) / (t.last - r.last).Seconds()
		}
		r.count, r.last, r.known = t.count, t.last, true
	case r.known && now-r.last >= longestGap:
		*r = pulseRate{count: r.count}
	case r.known && now > r.last:
		r.perSec = min(r.perSec, 1/(now-r.last).Seconds())
	}
	return r.perSec
}

// PulseMeter measures by the time between the pulses of a meter: contact or open
// collector to ground.
//
//	Range   0 to 1 / (2 × Settle) pulses a second
//	Error   that of the meter; a change shows with the next pulse, and a flow that
//	        has stopped sinks as 1 / time to 0 within 5 min
//
// After the start and after a failure it reads 0 until two pulses were seen.
// Formulas: flow in l/min = 60 × litres a pulse / seconds between pulses, power
// in W = 3 600 000 / (pulses a kWh × seconds between pulses); S0 meters hold
// their output for 30 ms at least (EN 62053-31, see testdata).
type PulseMeter struct {
	*contact
	name   string
	factor float64 // value of one pulse a second
	rate   pulseRate
}

// NewFlowMeter is a meter of litresPerPulse; its value is in l/min.
func NewFlowMeter(o ContactOptions, litresPerPulse float64) (*PulseMeter, error) {
	return newPulseMeter(o, "the flow meter at "+o.Line, 60*litresPerPulse)
}

// NewElectricityMeter is an S0 meter of so many pulses a kWh; its value is the
// current in A of a load that only heats, at the given voltage.
func NewElectricityMeter(o ContactOptions, pulsesPerKWh, volts float64) (*PulseMeter, error) {
	return newPulseMeter(o, "the electricity meter at "+o.Line, 3.6e6/pulsesPerKWh/volts)
}

func newPulseMeter(o ContactOptions, name string, factor float64) (*PulseMeter, error) {
	c, err := newContact(o)
	if err == nil && !(factor > 0 && factor < 1e9) {
		err = fmt.Errorf("%s: a pulse a second would be %g: correct what a pulse stands for", name, factor)
	}
	if err != nil {
		return nil, err
	}
	return &PulseMeter{contact: c, name: name, factor: factor}, nil
}

// Name implements [Driver].
func (m *PulseMeter) Name() string { return m.name }

// Ask implements [Driver].
func (m *PulseMeter) Ask(_ context.Context, clock Clock) (Answer, error) {
	t, anew, err := m.look(clock)
	if anew || err != nil {
		m.rate = pulseRate{}
	}
	if err != nil {
		return Answer{}, err
	}
	return Answer{
		Value: m.rate.update(t, clock.Now()) * m.factor,
		Raw:   fmt.Sprintf("%d pulses", t.count),
	}, nil
}

// Button is a push button to ground: 1 while pressed, and for one answer when it
// was pressed and let go between two, else 0.
type Button struct {
	*contact
	count uint64
}

// NewButton makes a button.
func NewButton(o ContactOptions) (*Button, error) {
	c, err := newContact(o)
	if err != nil {
		return nil, err
	}
	return &Button{contact: c}, nil
}

// Name implements [Driver].
func (b *Button) Name() string { return "the button at " + b.options.Line }

// Ask implements [Driver]. A button that is held from before the line was opened
// counts as pressed.
func (b *Button) Ask(_ context.Context, clock Clock) (Answer, error) {
	t, anew, err := b.look(clock)
	if anew || err != nil {
		b.count = 0
	}
	if err != nil {
		return Answer{}, err
	}
	answer := Answer{Raw: fmt.Sprintf("%d presses", t.count)}
	if t.closed || t.count > b.count {
		answer.Value = 1
	}
	b.count = t.count
	return answer, nil
}
