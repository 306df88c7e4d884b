package station

import (
	"context"
	"sync"
	"time"
)

// saver writes states to the disk on a goroutine of its own, so that a slow
// or full disk delays nobody. It knows the newest state only.
type saver struct {
	store *stateStore
	clock Clock

	mu      sync.Mutex
	next    *stateBody    // not yet begun
	done    func()        // of next
	ended   chan struct{} // of next: closed once it was written or has failed
	wake    chan struct{}
	closed  bool
	failed  string // why the last save failed, empty when it did not
	since   time.Duration
	stopped chan struct{}
}

func newSaver(store *stateStore, clock Clock) *saver {
	return &saver{store: store, clock: clock, wake: make(chan struct{}, 1), stopped: make(chan struct{})}
}

// offer hands over a state and returns at once. The channel is closed once
// this state, or a newer one, has been written or could not be.
func (s *saver) offer(body *stateBody) (ended <-chan struct{}) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return nil
	}
	if s.next == nil {
		s.done, s.ended = s.clock.Busy("the state file"), make(chan struct{})
	}
	s.next = body
	select {
	case s.wake <- struct{}{}:
	default:
	}
	return s.ended
}

// run saves until it is closed.
func (s *saver) run() {
	defer close(s.stopped)
	for range s.wake {
		s.mu.Lock()
		body, done, ended := s.next, s.done, s.ended
		s.next, s.done, s.ended = nil, nil, nil
		s.mu.Unlock()
		if body == nil {
			continue
		}
		s.note(protected("saving the state", func() error { return s.store.save(body) }))
		close(ended)
		done()
	}
}

// note keeps what became of a save, and logs when that changes.
func (s *saver) note(err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	switch {
	case err == nil && s.failed != "":
		s.failed = ""
		s.store.log.Info("the state can be saved again")
	case err != nil && s.failed == "":
		s.since = s.clock.Now()
		s.store.log.Error("the state could not be saved; pump and heater are looked after all the same", "error", err)
	}
	if err != nil {
		s.failed = err.Error()
	}
}

// trouble tells why the last save failed, empty when it did not, and for how
// long there has been trouble.
func (s *saver) trouble() (why string, lasting time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.failed == "" {
		return "", 0
	}
	return s.failed, max(0, s.clock.Now()-s.since)
}

// finish saves what was offered last, then ends. It waits no longer than the
// context.
func (s *saver) finish(ctx context.Context) error {
	s.mu.Lock()
	if !s.closed {
		s.closed = true
		close(s.wake)
	}
	s.mu.Unlock()
	select {
	case <-s.stopped:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
