package actuators

import (
	"errors"
	"fmt"

	"periph.io/x/conn/v3/gpio"
)

// Relay is one two-state output of a RelayBank; on is its line high.
type Relay struct {
	bank   *RelayBank // its mutex guards the fields below
	line   RelayLine
	info   lineInfo
	bit    gpio.GPIOValue
	on     bool
	closed bool
}

// Set drives the relay: on from RelayOnFrom, else off. Once ReadBack has found
// another hand on the bank, Set returns that error each time and does not fight:
// only an urgent off is still written.
func (r *Relay) Set(c Command) error {
	r.bank.mu.Lock()
	defer r.bank.mu.Unlock()
	if r.closed {
		return fmt.Errorf("%s: %w", r, ErrClosed)
	}
	if err := c.check(); err != nil {
		return errors.Join(fmt.Errorf("%s: %w", r, err), r.drive(false))
	}
	on := relayStep(c.Level) == 1
	if r.bank.disputed == nil {
		return r.drive(on)
	}
	var err error
	if c.Urgent && !on {
		err = r.drive(false)
	}
	return errors.Join(fmt.Errorf("%s is held off: %w", r, r.bank.disputed), err)
}

// Level is 1 when the relay was last driven on, else 0.
func (r *Relay) Level() float64 {
	r.bank.mu.Lock()
	defer r.bank.mu.Unlock()
	if r.on {
		return 1
	}
	return 0
}

// Safe drives the relay off.
func (r *Relay) Safe() error {
	r.bank.mu.Lock()
	defer r.bank.mu.Unlock()
	return r.safe()
}

// Close drives the relay off and ends its use. Its line goes back to the kernel
// with the last relay of the bank, since the kernel takes a request's lines back
// together; until then it is held low.
func (r *Relay) Close() error {
	r.bank.mu.Lock()
	defer r.bank.mu.Unlock()
	if r.closed {
		return nil
	}
	err := r.safe()
	r.closed = true
	for _, other := range r.bank.relays {
		if !other.closed {
			return err
		}
	}
	return errors.Join(err, r.bank.release())
}

// String names the relay as messages do.
func (r *Relay) String() string {
	return fmt.Sprintf("relay %s (chip %s, line %s)", r.line.Name, r.bank.chip, r.info)
}

func (r *Relay) driven(level float64) float64 { return relayStep(level) }

// safe drives off while the bank holds the line, also after the relay's own
// Close: a line that is still ours can still be driven.
func (r *Relay) safe() error {
	if r.bank.set != nil {
		return r.drive(false)
	}
	if r.on {
		return fmt.Errorf("%s could not be driven off before its line was given back%s: %w", r, heatWords(r.line), ErrClosed)
	}
	return nil
}

func (r *Relay) drive(on bool) error {
	var bits gpio.GPIOValue
	word := "off"
	if on {
		bits, word = r.bit, "on"
	}
	if err := r.bank.set.Out(bits, r.bit); err != nil {
		return fmt.Errorf("%s could not be driven %s: %w; check that the chip still answers (expander unplugged, bus stuck) and restart%s", r, word, err, r.stillOn())
	}
	r.on = on
	return nil
}

// stillOn adds what to do by hand while a relay that should go off is on.
func (r *Relay) stillOn() string {
	if !r.on {
		return ""
	}
	return "; it may still be on" + heatWords(r.line) + ": switch it off at its isolator"
}

func heatWords(line RelayLine) string {
	if line.Heats {
		return ", and it heats (scalding, fire)"
	}
	return ""
}
