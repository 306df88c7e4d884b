package station

import (
	"errors"
	"log/slog"

	"sunstoker/station/tick"
)

// mailboxDepth is how many ticks a watcher may be behind before it misses
// some: more than a sped-up clock makes after a pause of a busy machine.
const mailboxDepth = 64

// mailbox feeds one watcher on a goroutine of its own, so that a slow or
// blocked one delays neither the tick nor the other watchers.
type mailbox struct {
	watcher tick.Watcher
	clock   Clock
	log     *slog.Logger
	letters chan letter
	missing bool // ticks are being missed; the tick's goroutine alone looks at it
}

type letter struct {
	t    *tick.Tick
	done func()
}

func newMailbox(w tick.Watcher, clock Clock, log *slog.Logger) *mailbox {
	return &mailbox{watcher: w, clock: clock, log: log, letters: make(chan letter, mailboxDepth)}
}

// post hands over a tick and returns at once. When the box is full, the oldest
// tick in it is lost.
func (m *mailbox) post(t *tick.Tick) {
	l := letter{t, m.clock.Busy("a watcher")}
	lost := false
	for {
		select {
		case m.letters <- l:
			m.note(lost)
			return
		default:
		}
		select {
		case old := <-m.letters:
			lost = true
			old.done()
		default:
		}
	}
}

// note logs when a watcher begins to miss ticks and when it has caught up.
func (m *mailbox) note(lost bool) {
	switch {
	case lost && !m.missing:
		m.log.Warn("a watcher is too slow and misses ticks", "watcher", typeName(m.watcher))
		m.missing = true
	case m.missing && len(m.letters) <= 1:
		m.log.Info("a watcher has caught up", "watcher", typeName(m.watcher))
		m.missing = false
	}
}

// run delivers until the box is closed. A watcher that panics gets no more
// ticks; it decides nothing, so the tick goes on without it.
func (m *mailbox) run() {
	dead := false
	for l := range m.letters {
		if !dead {
			dead = m.deliver(l.t) != nil
		}
		l.done()
	}
}

func (m *mailbox) deliver(t *tick.Tick) error {
	err := protected(typeName(m.watcher), func() error { m.watcher.Watch(t); return nil })
	if p, ok := errors.AsType[*panicError](err); ok {
		m.log.Error("a watcher panicked and is given no more ticks", "error", err, "stack", p.stack)
	}
	return err
}

func (m *mailbox) close() { close(m.letters) }
