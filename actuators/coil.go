package actuators

import (
	"errors"
	"fmt"
	"sync"
	"time"
)

// CoilWriter switches a coil of a unit on a line, within a deadline of its own;
// fieldbus.Line is one. It must be safe for concurrent use.
type CoilWriter interface {
	WriteCoil(unit uint8, coil uint16, on bool) error
}

// CoilOptions describe a relay behind a coil of a Modbus module.
type CoilOptions struct {
	Name   string // the output's name, such as "loop_pump"; used in messages
	Line   string // for people
	Writer CoilWriter
	Unit   uint8
	Coil   uint16 // from 0, as on the wire
	Heats  bool   // as in RelayLine

	patience time.Duration // coilPatience when 0
}

// Coil is a relay that is switched by a message over a line. The module keeps it
// as it was when this program dies or the line is cut: nothing that heats belongs
// on one unless the module drops it by itself when messages stop.
//
// Orders are carried out by a goroutine, the newest one alone: a module that does
// not answer holds the caller up for coilPatience once, and while it is silent
// not at all. An order that is not known to have arrived is an error, and is sent
// again with the next Set. After an order for "on" whose answer was lost, the
// relay may be on although Level says off; the next order settles it, and Safe
// and Close write in any case.
type Coil struct {
	options CoilOptions

	mu      sync.Mutex
	level   float64
	closed  bool
	wanted  bool          // the newest order
	asked   uint64        // its number
	done    uint64        // the newest order that was tried
	err     error         // how that went
	working bool          // a goroutine carries orders out
	news    chan struct{} // closed when done grows
}

const (
	coilPatience = 150 * time.Millisecond // of a tick: modules answer within 50 ms
	coilWayOut   = 3 * time.Second        // of Safe and Close: a request under way, then ours
)

var errNoAnswerYet = errors.New("the module has not answered yet")

// OpenCoil switches the coil off. Its error says that the module could not be
// reached, or refused.
func OpenCoil(o CoilOptions) (*Coil, error) {
	if o.patience == 0 {
		o.patience = coilPatience
	}
	c := &Coil{options: o, news: make(chan struct{})}
	if err := c.Safe(); err != nil {
		return nil, err
	}
	return c, nil
}

// Set orders the coil on from RelayOnFrom, else off.
func (c *Coil) Set(command Command) error {
	c.mu.Lock()
	if c.closed {
		c.mu.Unlock()
		return fmt.Errorf("%s: %w", c, ErrClosed)
	}
	wrong := command.check()
	patience := c.options.patience
	if c.working {
		patience = 0 // it is silent: waiting again would slow every tick down
	}
	number := c.order(wrong == nil && relayStep(command.Level) == 1)
	c.mu.Unlock()
	err := c.await(number, patience)
	if wrong != nil {
		return errors.Join(fmt.Errorf("%s: %w", c, wrong), err)
	}
	return err
}

// Level is 1 when the module has last confirmed on, else 0.
func (c *Coil) Level() float64 {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.level
}

// Safe orders the coil off and waits until the module has confirmed it, for some
// seconds at most. While another call closes the coil it waits for that one.
func (c *Coil) Safe() error {
	c.mu.Lock()
	closed, number := c.closed, c.asked // of a closed coil the newest order is Close's
	if !closed {
		number = c.order(false)
	}
	c.mu.Unlock()
	err := c.await(number, coilWayOut)
	switch {
	case !closed:
		return err
	case c.Level() != 0:
		return fmt.Errorf("%s was on when it closed%s: %w", c, c.danger(), ErrClosed)
	}
	return nil
}

// Close orders the coil off as Safe does, and refuses orders from then on.
func (c *Coil) Close() error {
	c.mu.Lock()
	if c.closed {
		c.mu.Unlock()
		return nil
	}
	c.closed = true
	number := c.order(false)
	c.mu.Unlock()
	return c.await(number, coilWayOut)
}

// String names the coil as messages do.
func (c *Coil) String() string {
	return fmt.Sprintf("relay %s (coil %d of unit %d on %s)", c.options.Name, c.options.Coil, c.options.Unit, c.options.Line)
}

func (c *Coil) driven(level float64) float64 { return relayStep(level) }

// order takes a new order and sees that somebody carries it out.
func (c *Coil) order(on bool) (number uint64) {
	c.wanted = on
	c.asked++
	if !c.working {
		c.working = true
		go c.work()
	}
	return c.asked
}

// work carries out the newest order until there is none left.
func (c *Coil) work() {
	for more := true; more; {
		c.mu.Lock()
		number, on := c.asked, c.wanted
		c.mu.Unlock()
		err := c.write(on)
		c.mu.Lock()
		if err == nil {
			c.level = 0
			if on {
				c.level = 1
			}
		}
		c.done, c.err = number, err
		more = c.asked > number
		c.working = more
		close(c.news)
		c.news = make(chan struct{})
		c.mu.Unlock()
	}
}

// write turns a panic below into an error: this goroutine must not end the
// program with other outputs on.
func (c *Coil) write(on bool) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("a mistake of this program: %v", p)
		}
	}()
	return c.options.Writer.WriteCoil(c.options.Unit, c.options.Coil, on)
}

// await tells how an order went, or a newer one in its place.
func (c *Coil) await(number uint64, patience time.Duration) error {
	timer := time.NewTimer(patience)
	defer timer.Stop()
	for {
		c.mu.Lock()
		done, err, news, on := c.done >= number, c.err, c.news, c.level != 0
		c.mu.Unlock()
		if done && err == nil {
			return nil
		}
		if done {
			return c.failed(err, on)
		}
		select {
		case <-news:
		case <-timer.C:
			return c.failed(errNoAnswerYet, on)
		}
	}
}

func (c *Coil) failed(err error, on bool) error {
	text := ""
	if on {
		text = "; it may still be on" + c.danger() + ": switch it off at its isolator"
	}
	return fmt.Errorf("%s could not be switched: %w%s", c, err, text)
}

func (c *Coil) danger() string { return heatWords(RelayLine{Heats: c.options.Heats}) }
