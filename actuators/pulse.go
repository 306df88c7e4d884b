package actuators

import (
	"errors"
	"fmt"
	"sync"
	"time"
)

// KeepFor is for how long what was asked for holds where somebody has to go on
// asking: the pulses of [Pulsed], and the levels of a guard. The daemon asks once
// a second; the rest is room for a tick that comes late, so that a busy board
// does not wear the relays, and still nothing stays on for 2 s.
const KeepFor = 1700 * time.Millisecond

// PulseOptions describe a relay that pulses hold.
type PulseOptions struct {
	Name  string  // the output's name, such as "backup_heater"; used in messages
	Hertz float64 // pulses a second, each half on and half off

	keep time.Duration // KeepFor when 0
}

// Pulsed drives a relay by pulses: while the output is on its line goes up and
// down, and what hangs on it (a retriggerable time relay, or a charge pump before
// the contactor's coil) holds only as long as edges come. So the contactor drops
// however the program, the board or its kernel dies, whatever level the line is
// left at: it is the only output here that is off by itself.
//
//	Off        line low, no pulses
//	On         Hertz pulses a second, half on and half off
//	Jitter     that of a program beside others: some ms, on a busy board some 10 ms
//	Keeps on   for KeepFor after the last Set that asked for on; the beat is the
//	           program's own, but it goes on only while somebody asks
//	Needs      a time relay or charge pump that drops when no edge came for about
//	           three pulses, and holds through one that is late: 0.3 to 0.5 s at
//	           10 Hz (common practice, no source). It must take an edge, not a
//	           level: what a line left high holds is no protection
//	Drops      at once with a kill, KeepFor after a hang of the caller; then the
//	           time relay's own time
//
// A beat that has ended because nobody asked is told with the next Set, and a
// wish for on that comes with it is not carried out: a caller that lags must know
// that a minimum rest has begun.
type Pulsed struct {
	options PulseOptions
	out     Output // the line

	mu      sync.Mutex
	on      bool
	high    bool
	asked   time.Time     // the last wish for on
	stop    chan struct{} // ends the beat that runs; nil when none does
	trouble error         // why a beat ended by itself; told once
	closed  bool
}

var errBeatEnded = errors.New("its pulses have ended, since nobody asked for them for " + KeepFor.String() + ": the program lagged or hung")

// Pulse drives out, a line that is off, by pulses.
func Pulse(out Output, o PulseOptions) *Pulsed {
	if o.keep == 0 {
		o.keep = KeepFor
	}
	return &Pulsed{options: o, out: out}
}

// Set lets the pulses go on from RelayOnFrom, else it ends them.
func (p *Pulsed) Set(c Command) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return fmt.Errorf("%s: %w", p, ErrClosed)
	}
	if err := c.check(); err != nil {
		return errors.Join(fmt.Errorf("%s: %w", p, err), p.off())
	}
	told := p.trouble
	p.trouble = nil
	if relayStep(c.Level) == 0 || told != nil {
		return errors.Join(told, p.off())
	}
	return p.begin()
}

// Level is 1 while there are pulses, or while the line could not be driven low
// after them.
func (p *Pulsed) Level() float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.on {
		return 1
	}
	return p.out.Level()
}

// Safe ends the pulses, with the line low.
func (p *Pulsed) Safe() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.off()
}

// Close ends the pulses and releases the line.
func (p *Pulsed) Close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	p.end()
	return p.out.Close()
}

// String names the output as messages do.
func (p *Pulsed) String() string {
	return fmt.Sprintf("%s, held by pulses of %g Hz", p.options.Name, p.options.Hertz)
}

func (p *Pulsed) driven(level float64) float64 { return relayStep(level) }

// begin makes the first pulse, and has the beat make the others.
func (p *Pulsed) begin() error {
	p.asked = time.Now()
	if p.on {
		return nil
	}
	if err := p.out.Set(Command{Level: 1, Urgent: true}); err != nil {
		return errors.Join(err, p.off())
	}
	p.on, p.high, p.stop = true, true, make(chan struct{})
	go p.beat(p.stop)
	return nil
}

func (p *Pulsed) off() error {
	p.end()
	return p.out.Safe()
}

// end ends the beat that runs. One that waits for the lock sees it and does
// nothing more.
func (p *Pulsed) end() {
	if p.stop != nil {
		close(p.stop)
		p.stop = nil
	}
	p.on = false
}

// beat makes the pulses until it is stopped.
func (p *Pulsed) beat(stop chan struct{}) {
	ticker := time.NewTicker(time.Duration(float64(time.Second) / p.options.Hertz / 2))
	defer ticker.Stop()
	for {
		select {
		case <-stop:
			return
		case <-ticker.C:
		}
		if !p.turn(stop) {
			return
		}
	}
}

// turn moves the line to its other level, and is false when the beat has ended.
func (p *Pulsed) turn(stop chan struct{}) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.stop != stop {
		return false
	}
	err := errBeatEnded
	if time.Since(p.asked) < p.options.keep {
		err = p.toggle()
	}
	if err == nil {
		return true
	}
	p.trouble = errors.Join(fmt.Errorf("%s: %w", p, err), p.off())
	return false
}

// toggle turns a panic below into an error: this goroutine must not end the
// program with other outputs on.
func (p *Pulsed) toggle() (err error) {
	defer func() {
		if value := recover(); value != nil {
			err = fmt.Errorf("a mistake of this program: %v", value)
		}
	}()
	p.high = !p.high
	level := 0.0
	if p.high {
		level = 1
	}
	return p.out.Set(Command{Level: level, Urgent: true})
}
