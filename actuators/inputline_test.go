package actuators

import (
	"errors"
	"fmt"
	"os"
	"testing"
	"time"

	"periph.io/x/conn/v3/gpio"
	"periph.io/x/host/v3/gpioioctl"
)

var _ inputSet = (*gpioioctl.LineSet)(nil)

// fakeInput stands for a requested input line.
type fakeInput struct {
	requested lineInfo
	level     gpio.GPIOValue
	edge      gpio.Edge
	err       error
	closed    int
}

func (f *fakeInput) Read(gpio.GPIOValue) (gpio.GPIOValue, error) { return f.level, f.err }
func (f *fakeInput) Close() error                                { f.closed++; return nil }

func (f *fakeInput) WaitForEdge(timeout time.Duration) (int, gpio.Edge, error) {
	if timeout <= 0 {
		return 0, gpio.NoEdge, errors.New("that would wait for ever")
	}
	return f.requested.offset, f.edge, f.err
}

func openedInput(t *testing.T) (*InputLine, *fakeInput) {
	t.Helper()
	c := newFakeChip(t)
	c.input = &fakeInput{level: 1}
	in, err := openInput([]chip{c}, "gpiochip0", "RELAY2")
	must(t, err)
	if c.input.requested.offset != 2 {
		t.Errorf("requested %v", c.input.requested)
	}
	return in, c.input
}

func TestAContactToGround(t *testing.T) {
	in, fake := openedInput(t)
	for _, c := range []struct {
		level           gpio.GPIOValue
		edge            gpio.Edge
		changed, closed bool
	}{{1, gpio.NoEdge, false, false}, {0, gpio.FallingEdge, true, true}, {1, gpio.RisingEdge, true, false}} {
		fake.level, fake.edge = c.level, c.edge
		now, err := in.Closed()
		if must(t, err); now != (c.level == 0) {
			t.Errorf("level %v is told as closed %v", c.level, now)
		}
		changed, closed, err := in.Wait(time.Second)
		if must(t, err); changed != c.changed || closed != c.closed {
			t.Errorf("%v: changed %v, closed %v", c.edge, changed, closed)
		}
	}
	fake.err = fmt.Errorf("read gpio-lineset: %w", os.ErrDeadlineExceeded)
	if changed, _, err := in.Wait(time.Second); changed || err != nil {
		t.Errorf("the end of the time is told as %v, %v", changed, err)
	}
	fake.err = errors.New("no such device")
	_, _, err := in.Wait(time.Second)
	says(t, err, "RELAY2", "no such device")
	_, err = in.Closed()
	says(t, err, "RELAY2", "chip still answers")
	must(t, in.Close())
	must(t, in.Close())
	if _, _, err := in.Wait(time.Second); !errors.Is(err, os.ErrClosed) || fake.closed != 1 {
		t.Errorf("after Close: %v, closed %d times", err, fake.closed)
	}
}

func TestAnInputLineThatCannotBeHad(t *testing.T) {
	c := newFakeChip(t)
	_, err := openInput([]chip{c}, "gpiochip7", "RELAY0")
	says(t, err, "gpiochip7", "pinctrl-test")
	_, err = openInput([]chip{c}, "gpiochip0", "GPIO99")
	says(t, err, "GPIO99", "RELAY0")
	c.refuse = errBusy
	_, err = openInput([]chip{c}, "gpiochip0", "RELAY0")
	says(t, err, "another program", "RELAY0")
	c.refuse = errors.New("invalid argument")
	_, err = openInput([]chip{c}, "gpiochip0", "RELAY0")
	says(t, err, "pull-ups")
}
