package actuators

import (
	"errors"
	"fmt"
	"strings"

	"periph.io/x/conn/v3/gpio"
)

// Mismatch is one relay line whose level is not the one commanded.
type Mismatch struct {
	Relay  string // name of the relay
	Line   string // label and offset of its line
	WantOn bool   // what this program last drove; the line shows the opposite
	Heats  bool   // something heats while the relay is on
}

// MismatchError tells the lines of a bank that something else moves.
type MismatchError struct {
	Chip  string
	Lines []Mismatch // one or more
}

// Error tells every line, the likely causes and what to do.
func (e *MismatchError) Error() string {
	var told []string
	for _, m := range e.Lines {
		words := fmt.Sprintf("%s on line %s was driven %s and reads %s", m.Relay, m.Line, onOff(m.WantOn), onOff(!m.WantOn))
		told = append(told, words+heatWords(RelayLine{Heats: m.Heats}))
	}
	return fmt.Sprintf("chip %s: %s; another program may drive the pins directly, or the wiring pulls a line: find it, then restart to take the relays back",
		e.Chip, strings.Join(told, "; "))
}

func onOff(on bool) string {
	if on {
		return "on"
	}
	return "off"
}

// ReadBack compares the levels the kernel sees on the lines with the levels last
// driven. Call it before the outputs are set anew. It reads the lines without
// touching their direction, and reads twice so that a spike is not taken for a
// hand. It proves the line only: no relay contact, no load. Chips that answer
// from memory never differ.
//
// When a line differs, all relays of the bank are driven off once and the bank
// stays off: ReadBack and Set return a *MismatchError from then on, until the
// bank is closed and opened again. Fighting over a relay would wear it out and
// let a heater run half the time.
func (b *RelayBank) ReadBack() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.set == nil {
		return fmt.Errorf("the relay lines of chip %s cannot be read back: %w", b.chip, ErrClosed)
	}
	if b.disputed != nil {
		return b.disputed
	}
	differ, err := b.differing()
	if err != nil || len(differ) == 0 {
		return err
	}
	b.disputed = &MismatchError{Chip: b.chip, Lines: differ}
	return errors.Join(b.disputed, b.safe())
}

// differing is the lines that differ in two readings, one right after the other.
func (b *RelayBank) differing() ([]Mismatch, error) {
	wrong, err := b.wrongBits()
	if err == nil && wrong != 0 {
		var again gpio.GPIOValue
		again, err = b.wrongBits()
		wrong &= again
	}
	if err != nil {
		return nil, fmt.Errorf("the relay lines of chip %s cannot be read back: %w; check that the chip still answers", b.chip, err)
	}
	var differ []Mismatch
	for _, r := range b.relays {
		if wrong&r.bit != 0 {
			differ = append(differ, Mismatch{Relay: r.line.Name, Line: r.info.String(), WantOn: r.on, Heats: r.line.Heats})
		}
	}
	return differ, nil
}

func (b *RelayBank) wrongBits() (gpio.GPIOValue, error) {
	var mask, want gpio.GPIOValue
	for _, r := range b.relays {
		mask |= r.bit
		if r.on {
			want |= r.bit
		}
	}
	got, err := b.set.Read(mask)
	return (got ^ want) & mask, err
}
