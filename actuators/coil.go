package actuators

import (
	"errors"
	"fmt"
	"sync"
	"time"
)

// CoilLine switches a coil of a unit on a line and reads it back, each within a
// deadline of its own; fieldbus.Line is one. It must be safe for concurrent use.
type CoilLine interface {
	WriteCoil(unit uint8, coil uint16, on bool) error
	// ReadCoil tells what the module says of the coil. can is false when the
	// module does not let itself be read.
	ReadCoil(unit uint8, coil uint16) (on, can bool, err error)
}

// CoilOptions describe a relay behind a coil of a Modbus module.
type CoilOptions struct {
	Name  string // the output's name, such as "loop_pump"; used in messages
	Place string // of the line, for people
	Line  CoilLine
	Unit  uint8
	Coil  uint16 // from 0, as on the wire
	Heats bool   // as in RelayLine

	patience time.Duration // coilPatience when 0
}

// Coil is a relay that is switched by a message over a line. The module keeps it
// as it was when this program dies or the line is cut: nothing that heats belongs
// on one unless the module drops it by itself when messages stop.
//
// Orders are carried out by a goroutine, the newest one alone: a module that does
// not answer holds the caller up for coilPatience once, and while it is silent
// not at all. An order that is not known to have arrived is an error, and is sent
// again with the next Set.
//
// Before an order of Set the module is asked what it drives. A coil that was on
// and is off, as after a power cut of the module, is taken for off, told once,
// and not driven on by the same order. One that is on though it was driven off
// has another master: it is driven off once and then left alone, as the lines of
// a [RelayBank] are. After an order whose answer was lost the module's word is
// taken for what it is. A module that can't be read is believed on its answers.
//
// A module that is not there yet, at the start, is looked for with every order;
// when it comes the coil is driven off before anything else.
type Coil struct {
	options CoilOptions

	mu      sync.Mutex
	level   float64
	closed  bool
	wanted  coilOrder // the newest order
	asked   uint64    // its number
	done    uint64    // the newest order that was tried
	err     error     // how that went
	working bool      // a goroutine carries orders out
	news    chan struct{}
	// The goroutine that works is the only one that changes these.
	met      bool  // the module has confirmed an order for off once
	sure     bool  // the last order has arrived, so that level is the module's own
	disputed error // another master was found
}

// coilOrder is what is wanted of a coil.
type coilOrder struct {
	on, urgent bool
	out        bool // on the way out: nothing is asked before it is off
}

const (
	coilPatience = 250 * time.Millisecond // of a tick: a question and an order, answered within 50 ms each
	coilWayOut   = 4 * time.Second        // of Safe and Close: a request under way, then ours, and a look
)

var (
	errNoAnswerYet = errors.New("the module has not answered yet")
	errLetGo       = errors.New("the module has switched it off by itself, as it does after a power cut or when it has a timer: check its supply and settings")
	errJustMet     = errors.New("the module has answered for the first time, and is driven off first")
	errStaysOn     = errors.New("the module says that it is still on, though it was told to switch it off")
	errOtherMaster = errors.New("it was on though it was driven off, so another master switches it, or somebody at the module: it was driven off once. Find out who does, then restart to take it back")
)

// OpenCoil orders the coil off. A module that can't be reached is no error yet:
// the outputs of other modules must work without it. Level is 0 then, and every
// Set says what is wrong.
func OpenCoil(o CoilOptions) *Coil {
	if o.patience == 0 {
		o.patience = coilPatience
	}
	c := &Coil{options: o, news: make(chan struct{})}
	c.mu.Lock()
	number := c.order(coilOrder{out: true})
	c.mu.Unlock()
	_ = c.await(number, o.patience) // Set tells
	return c
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
	number := c.order(coilOrder{on: wrong == nil && relayStep(command.Level) == 1, urgent: command.Urgent})
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
		number = c.order(coilOrder{out: true})
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
	number := c.order(coilOrder{out: true})
	c.mu.Unlock()
	return c.await(number, coilWayOut)
}

// String names the coil as messages do.
func (c *Coil) String() string {
	return fmt.Sprintf("relay %s (coil %d of unit %d on %s)", c.options.Name, c.options.Coil, c.options.Unit, c.options.Place)
}

func (c *Coil) driven(level float64) float64 { return relayStep(level) }

// order takes a new order and sees that somebody carries it out.
func (c *Coil) order(o coilOrder) (number uint64) {
	c.wanted = o
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
		number, order, was := c.asked, c.wanted, c.level == 1
		c.mu.Unlock()
		is, err := c.carryOut(order, was)
		c.mu.Lock()
		c.level = 0
		if is {
			c.level = 1
		}
		c.done, c.err = number, err
		more = c.asked > number
		c.working = more
		close(c.news)
		c.news = make(chan struct{})
		c.mu.Unlock()
	}
}

// carryOut does what is ordered of a coil that was on or off, and tells what it
// is now. A panic below becomes an error: this goroutine must not end the program
// with other outputs on.
func (c *Coil) carryOut(order coilOrder, was bool) (is bool, err error) {
	is = was
	defer func() {
		if p := recover(); p != nil {
			c.sure, err = false, fmt.Errorf("a mistake of this program: %v", p)
		}
	}()
	switch {
	case order.out:
		return c.switchOff(was)
	case !c.met:
		if is, err = c.switchOff(was); err == nil && order.on {
			err = errJustMet
		}
		return is, err
	case c.disputed != nil:
		if order.urgent && !order.on {
			is, err = c.switchOff(was)
		}
		return is, errors.Join(c.disputed, err)
	}
	if is, err = c.look(was); err != nil && (order.on || c.disputed != nil) {
		return is, err
	}
	if !order.on && is {
		off, wrong := c.switchOff(is)
		return off, errors.Join(err, wrong)
	}
	wrong := c.write(order.on)
	if wrong == nil {
		is = order.on
	}
	return is, errors.Join(err, wrong)
}

// look asks the module what the coil is, and judges it by what it was.
func (c *Coil) look(was bool) (is bool, err error) {
	is, can, err := c.ask(was)
	switch {
	case err != nil || !can:
		return was, err
	case is == was:
		c.sure = true
		return is, nil
	case !is:
		c.sure = true
		return false, errLetGo
	case !c.sure: // an order whose answer was lost has arrived
		c.sure = true
		return true, nil
	}
	c.disputed = errOtherMaster
	is, err = c.switchOff(true)
	return is, errors.Join(c.disputed, err)
}

// ask asks once more when the answer is not the one expected, so that one wrong
// answer is not taken for another hand.
func (c *Coil) ask(expected bool) (on, can bool, err error) {
	on, can, err = c.options.Line.ReadCoil(c.options.Unit, c.options.Coil)
	if err == nil && can && on != expected {
		on, can, err = c.options.Line.ReadCoil(c.options.Unit, c.options.Coil)
	}
	return on, can, err
}

// switchOff orders off and looks whether it is.
func (c *Coil) switchOff(was bool) (is bool, err error) {
	if err := c.write(false); err != nil {
		return was, err
	}
	if on, can, err := c.ask(false); err == nil && can && on {
		return true, errStaysOn
	}
	c.met = true
	return false, nil // the module has confirmed the order, though it may not be read
}

// write sends an order. Until it is known to have arrived nothing is sure.
func (c *Coil) write(on bool) error {
	c.sure = false
	err := c.options.Line.WriteCoil(c.options.Unit, c.options.Coil, on)
	c.sure = err == nil
	return err
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
