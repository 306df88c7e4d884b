package actuators

import (
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/host/v3/gpioioctl"
)

// InputLine is a line that is read: a contact between it and ground, with the
// kernel's pull-up. It stands here because chips and lines are found as those of
// relays are; who reads it is told nothing of outputs.
type InputLine struct {
	mu   sync.Mutex
	name string
	set  inputSet // nil once closed
}

// inputSet is all that an input line asks of its request.
type inputSet interface {
	Read(mask gpio.GPIOValue) (gpio.GPIOValue, error)
	WaitForEdge(timeout time.Duration) (number int, edge gpio.Edge, err error)
	Close() error
}

// OpenInputLine takes a line of a chip for this program alone, as an input with
// pull-up that tells of both edges. Chip and line are named as for a relay, and
// the errors are the same.
func OpenInputLine(chip, line string) (*InputLine, error) {
	chips, err := openChips()
	if err != nil {
		return nil, err
	}
	return openInput(chips, chip, line)
}

func openInput(chips []chip, wanted, label string) (*InputLine, error) {
	c, err := findChip(chips, wanted)
	if err != nil {
		return nil, err
	}
	info, err := findLine(c, label)
	if err != nil {
		return nil, fmt.Errorf("input line: %w", err)
	}
	in := &InputLine{name: fmt.Sprintf("input line %s of chip %s", info, c.name())}
	in.set, err = c.requestInput(info)
	switch {
	case errors.Is(err, errBusy):
		return nil, fmt.Errorf("%s is held by another program or a kernel driver: %w; stop it, or wire the contact to another line", in.name, err)
	case err != nil:
		return nil, fmt.Errorf("%s could not be requested: %w; check that its chip offers pull-ups and edges", in.name, err)
	}
	return in, nil
}

// Wait returns when the contact closes or opens, and at the latest after the
// given time, which must be above 0.
func (in *InputLine) Wait(atMost time.Duration) (changed, closed bool, err error) {
	set, err := in.held()
	if err != nil {
		return false, false, err
	}
	_, edge, err := set.WaitForEdge(atMost) // without the lock: Close may come meanwhile
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		return false, false, nil
	case err != nil:
		return false, false, fmt.Errorf("%s does not tell of its edges: %w", in.name, err)
	}
	return edge != gpio.NoEdge, edge == gpio.FallingEdge, nil
}

// Closed tells whether the contact is closed now.
func (in *InputLine) Closed() (bool, error) {
	set, err := in.held()
	if err != nil {
		return false, err
	}
	const only gpio.GPIOValue = 1
	levels, err := set.Read(only)
	if err != nil {
		return false, fmt.Errorf("%s cannot be read: %w; check that the chip still answers", in.name, err)
	}
	return levels&only == 0, nil
}

// Close gives the line back; a second Close does nothing.
func (in *InputLine) Close() error {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.set == nil {
		return nil
	}
	err := in.set.Close()
	in.set = nil
	return err
}

func (in *InputLine) held() (inputSet, error) {
	in.mu.Lock()
	defer in.mu.Unlock()
	if in.set == nil {
		return nil, fmt.Errorf("%s: %w", in.name, os.ErrClosed)
	}
	return in.set, nil
}

func (c periphChip) requestInput(line lineInfo) (inputSet, error) {
	set, err := c.lineSet(gpioioctl.LineInput, gpio.BothEdges, gpio.PullUp, []lineInfo{line})
	if err != nil {
		return nil, err // not set: a nil *LineSet is no nil inputSet
	}
	return set, nil
}
