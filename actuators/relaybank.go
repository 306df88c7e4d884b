package actuators

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	"periph.io/x/conn/v3/gpio"
)

// RelayLine is the wiring of one relay.
type RelayLine struct {
	Name string // the output's name, such as "loop_pump"; used in messages
	Line string // the chip's label for the line, such as "GPIO17", or its offset number
	// ActiveLow says that the relay is on while its line is low. It is refused:
	// see OpenRelayBank.
	ActiveLow bool
	// Heats says that something heats while the relay is on; messages about a
	// relay that may not be off then name the danger.
	Heats bool
}

// RelayBank is the set of relays on one GPIO chip, held by this program alone.
type RelayBank struct {
	mu       sync.Mutex
	chip     string
	set      lineSet // nil once released
	relays   []*Relay
	disputed *MismatchError // set by ReadBack; on is refused from then on
}

// OpenRelayBank takes all relay lines of a chip in one request: exclusively, as
// outputs, low (off) from the first instant and without a pulse. chip is the
// kernel's name of the chip, its device path or its driver's label.
//
// Relays that are on while their line is low are refused, whether they heat or
// not. The line is driven low when it is requested and rests low or undriven
// when the program is gone, so such a relay would click on at each start, and
// stay on after a crash on many boards: for a heater that is a fire and scald
// risk, for a pump a tank emptied into a cold roof.
//
// Errors say what is there and what to do: no chips, unknown chip or line, a
// line held by another program (with its name where the kernel told it when this
// program opened the chip), or a line the library cannot tell from another.
func OpenRelayBank(chip string, lines []RelayLine) (*RelayBank, error) {
	chips, err := openChips()
	if err != nil {
		return nil, err
	}
	return openBank(chips, chip, lines)
}

func openBank(chips []chip, wanted string, lines []RelayLine) (*RelayBank, error) {
	c, err := findChip(chips, wanted)
	if err != nil {
		return nil, err
	}
	bank := &RelayBank{chip: c.name()}
	infos, err := bank.plan(c, lines)
	if err != nil {
		return nil, err
	}
	set, err := c.request(infos)
	if err != nil {
		return nil, refusedRequest(c.name(), bank.relays, err)
	}
	bank.set = set
	// The kernel has driven the lines low already; this proves that they obey.
	if err := bank.driveAllOff(); err != nil {
		return nil, errors.Join(err, bank.Close())
	}
	return bank, nil
}

// Relay finds a relay of the bank by its name.
func (b *RelayBank) Relay(name string) (*Relay, error) {
	var names []string
	for _, r := range b.relays {
		if r.line.Name == name {
			return r, nil
		}
		names = append(names, r.line.Name)
	}
	return nil, fmt.Errorf("chip %s has no relay called %q; it has %s", b.chip, name, strings.Join(names, ", "))
}

// Safe drives every relay of the bank off in one step. When that fails, each is
// tried by itself, so that one bad line does not keep the others on.
func (b *RelayBank) Safe() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.safe()
}

// Close drives every relay off and gives the lines back to the kernel; a second
// Close does nothing. Lines are given back even when driving failed.
func (b *RelayBank) Close() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.release()
}

func (b *RelayBank) release() error {
	if b.set == nil {
		return nil
	}
	err := b.safe()
	for _, r := range b.relays {
		r.closed = true
	}
	closeErr := b.set.Close()
	b.set = nil
	if closeErr != nil {
		closeErr = fmt.Errorf("the relay lines of chip %s could not be given back: %w; they are free once the program has ended", b.chip, closeErr)
	}
	return errors.Join(err, closeErr)
}

func (b *RelayBank) safe() error {
	if b.set == nil {
		var errs []error
		for _, r := range b.relays {
			errs = append(errs, r.safe())
		}
		return errors.Join(errs...)
	}
	if b.driveAllOff() == nil {
		return nil
	}
	var errs []error
	for _, r := range b.relays {
		errs = append(errs, r.drive(false))
	}
	return errors.Join(errs...)
}

func (b *RelayBank) driveAllOff() error {
	var mask gpio.GPIOValue
	for _, r := range b.relays {
		mask |= r.bit
	}
	if err := b.set.Out(0, mask); err != nil {
		return fmt.Errorf("the relays of chip %s could not be driven off together: %w; check that the chip still answers", b.chip, err)
	}
	for _, r := range b.relays {
		r.on = false
	}
	return nil
}
