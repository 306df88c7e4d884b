package actuators

import (
	"errors"
	"fmt"
	"io"
	"sync"
	"time"
)

// Recorded writes every change of an output's level down.
type Recorded struct {
	mu    sync.Mutex
	out   Output
	w     io.Writer
	now   func() time.Duration
	level float64
}

// Record wraps out so that each change of its level appends one line of text to
// w: elapsed seconds by now, a space, the level from 0 to 1 ("12.5 1\n"). The
// level at the start is not written. When w fails the output is driven all the
// same, and the error says that only the record is missing.
func Record(out Output, w io.Writer, now func() time.Duration) *Recorded {
	return &Recorded{out: out, w: w, now: now, level: out.Level()}
}

// Set drives the output and records a change.
func (r *Recorded) Set(c Command) error {
	return r.noted(func() error { return r.out.Set(c) })
}

// Level is the level the output last drove.
func (r *Recorded) Level() float64 { return r.out.Level() }

// Safe drives the safe state and records a change.
func (r *Recorded) Safe() error { return r.noted(r.out.Safe) }

// Close drives the safe state, records a change and releases the output. The
// writer stays open: it belongs to the caller.
func (r *Recorded) Close() error { return r.noted(r.out.Close) }

func (r *Recorded) driven(level float64) float64 { return drivenBy(r.out, level) }

func (r *Recorded) noted(do func() error) error {
	r.mu.Lock()
	defer r.mu.Unlock()
	err := do()
	level := r.out.Level()
	if level == r.level {
		return err
	}
	r.level = level
	if _, werr := fmt.Fprintf(r.w, "%g %g\n", r.now().Seconds(), level); werr != nil {
		return errors.Join(err, fmt.Errorf("output driven to %g, but the change is not recorded: %w; check the record's file and disk", level, werr))
	}
	return err
}
