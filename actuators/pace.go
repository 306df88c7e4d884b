package actuators

import (
	"errors"
	"sync"
	"time"
)

// Paced holds minimum on and off times in front of an output, so that no error
// further up can make a relay chatter.
type Paced struct {
	mu            sync.Mutex
	out           Output
	minOn, minOff time.Duration
	now           func() time.Duration

	latest time.Duration // newest instant seen: time never runs backwards here
	since  time.Duration // instant of the last switching, or of the start
	on     bool
	hold   Hold
	held   bool
	count  PaceCount
}

// Hold says that a wanted switching waits for a minimum time.
type Hold struct {
	WantOn bool          // what is wanted and not yet driven
	Left   time.Duration // time until it may be driven
}

// PaceCount is what an output did since it was paced, for metrics.
type PaceCount struct {
	Switchings uint64        // changes between off and on, each way counted as one
	Refusals   uint64        // wishes held back; one held for many ticks counts once
	OnTime     time.Duration // total time above level 0
}

// Pace wraps out with a minimum on time and a minimum off time; the minimum off
// time also runs from the start, since nobody knows what went before. A negative
// time counts as none. now is elapsed time: from any origin, never set back (a
// step back is read as no time passing). Pace panics when out or now is nil.
//
// Being held back is the normal course of things and no error: Set then drives
// the present level anew and returns nil, and [Paced.Held] tells. Urgent
// commands and Safe pass at once and start the minimum time of the new state.
// A change of level above 0 is no switching and passes at once.
//
// On is what the output drives above level 0. An output kind from outside this
// package is taken to drive every level as commanded.
func Pace(out Output, minOn, minOff time.Duration, now func() time.Duration) *Paced {
	if out == nil || now == nil {
		panic("actuators.Pace: an output and a source of elapsed time are both needed")
	}
	start := now()
	return &Paced{
		out: out, now: now,
		minOn: max(minOn, 0), minOff: max(minOff, 0),
		latest: start, since: start, on: out.Level() > 0,
	}
}

// Set drives the command, or the present level again when a minimum time holds
// the command back.
func (p *Paced) Set(c Command) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.settle() // the output may have gone off by itself
	if err := c.check(); err != nil {
		p.held = false
		return errors.Join(err, p.driveSafe())
	}
	wantOn := drivenBy(p.out, c.Level) > 0
	if left := p.left(); wantOn != p.on && left > 0 && !c.Urgent {
		p.refuse(Hold{WantOn: wantOn, Left: left})
		return p.out.Set(Command{Level: p.out.Level()})
	}
	p.held = false
	err := p.out.Set(c)
	p.settle()
	return err
}

// Repace puts other minimum times in the place of those that Pace was given. The
// state that the output is in now is measured by them from its own begin.
func (p *Paced) Repace(minOn, minOff time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.minOn, p.minOff = max(minOn, 0), max(minOff, 0)
}

// Level is the level the output last drove.
func (p *Paced) Level() float64 { return p.out.Level() }

// Safe drives the output off at once, whatever the minimum times.
func (p *Paced) Safe() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.held = false
	return p.driveSafe()
}

// Close drives the output off at once and releases it.
func (p *Paced) Close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.held = false
	err := p.out.Close()
	p.settle()
	return err
}

// Held tells whether the last command waits for a minimum time, and how long it
// still has to wait.
func (p *Paced) Held() (Hold, bool) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if !p.held {
		return Hold{}, false
	}
	p.tell()
	return Hold{WantOn: p.hold.WantOn, Left: max(p.left(), 0)}, true
}

// Count is what the output did so far; OnTime runs to the present instant.
func (p *Paced) Count() PaceCount {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.tell()
	count := p.count
	if p.on {
		count.OnTime += p.latest - p.since
	}
	return count
}

func (p *Paced) driven(level float64) float64 { return drivenBy(p.out, level) }

func (p *Paced) driveSafe() error {
	err := p.out.Safe()
	p.settle()
	return err
}

// left is what remains of the minimum time of the present state.
func (p *Paced) left() time.Duration {
	least := p.minOff
	if p.on {
		least = p.minOn
	}
	return least - (p.latest - p.since)
}

// refuse counts a wish once: not again while the same wish keeps waiting.
func (p *Paced) refuse(h Hold) {
	if !p.held {
		p.count.Refusals++
	}
	p.hold, p.held = h, true
}

// settle takes over what the output really does, so that failed calls and
// outputs that went off by themselves are counted as they happened.
func (p *Paced) settle() {
	p.tell()
	on := p.out.Level() > 0
	if on == p.on {
		return
	}
	if p.on {
		p.count.OnTime += p.latest - p.since
	}
	p.count.Switchings++
	p.on, p.since = on, p.latest
}

func (p *Paced) tell() { p.latest = max(p.latest, p.now()) }
