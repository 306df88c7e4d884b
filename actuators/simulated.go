package actuators

import (
	"errors"
	"fmt"
	"sync"
)

// NewSimulated is an output that hands its level, 0 to 1, to apply: a simulated
// plant, or a test. It starts off without calling apply; a nil apply only
// remembers the level. apply must not call the output back. A panic in apply
// comes back as an error and leaves the level as it was.
func NewSimulated(apply func(level float64)) Output {
	if apply == nil {
		apply = func(float64) {}
	}
	return &simulated{apply: apply}
}

type simulated struct {
	mu     sync.Mutex
	apply  func(level float64)
	level  float64
	closed bool
}

func (s *simulated) Set(c Command) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return fmt.Errorf("simulated output: %w", ErrClosed)
	}
	if err := c.check(); err != nil {
		return errors.Join(fmt.Errorf("simulated output: %w", err), s.drive(0))
	}
	return s.drive(c.Level)
}

func (s *simulated) Level() float64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.level
}

func (s *simulated) Safe() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.safe()
}

func (s *simulated) Close() error {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil
	}
	err := s.safe()
	s.closed = true
	return err
}

func (s *simulated) safe() error {
	if s.closed && s.level == 0 {
		return nil
	}
	if s.closed {
		return fmt.Errorf("simulated output was on when it closed: %w", ErrClosed)
	}
	return s.drive(0)
}

func (s *simulated) drive(level float64) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("simulated output: the plant panicked at level %v: %v; correct the plant's code", level, p)
		}
	}()
	s.apply(level)
	s.level = level
	return nil
}
