package guard

import (
	"errors"
	"fmt"
	"time"

	"sunstoker/actuators"
)

// Output is what a guard holds.
type Output struct {
	Wiring string           // which output, of which kind, on which line; one line of words
	Output actuators.Output // off
}

// held is an output with the end of its lease. It keeps no time: instants are
// handed in, and only their distance counts.
type held struct {
	Output
	lease   time.Duration
	until   time.Duration // the end of its lease, while it is on
	dropped bool          // its lease has ended, and nobody was told yet
}

var (
	errDropped = errors.New("the guard has switched it off, since nobody asked for it for " + Lease.String() + ": the program lagged or hung")
	errNoSuch  = errors.New("the guard holds no such output: daemon and guard have read different site files; restart both")
)

func (h *held) on() bool { return h.Output.Output.Level() > 0 }

// drive carries out a wish, and begins a new lease when the output is on. A wish
// for "on" is not carried out while a drop is untold.
func (h *held) drive(o order, now time.Duration) error {
	if h.dropped {
		h.dropped = false
		if o.level > 0 {
			return errors.Join(errDropped, h.off())
		}
	}
	err := h.Output.Output.Set(actuators.Command{Level: o.level, Urgent: o.urgent})
	// One that could not be switched off keeps its old lease, so that off is
	// tried again by itself.
	if err == nil || o.level > 0 {
		h.until = now + h.lease
	}
	return err
}

func (h *held) off() error { return h.Output.Output.Safe() }

// expire drops the output when its lease has ended, and says why. What could not
// be dropped is tried again after the pause.
func (h *held) expire(now, pause time.Duration) error {
	if !h.on() || now < h.until {
		return nil
	}
	h.dropped = true
	if err := h.off(); err != nil {
		h.until = now + pause
		return err
	}
	return fmt.Errorf("%s: %w", h.Wiring, errDropped)
}
