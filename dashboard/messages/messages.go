package messages

import (
	"context"
	"log/slog"
	"net/http"
	"sync/atomic"
	"time"

	"sunstoker/dashboard/door"
	"sunstoker/station/tick"
)

// Options say where the broker is and what it is told.
type Options struct {
	Broker        string // address and port
	Encrypted     bool
	AuthorityFile string        // certificates that may vouch for the broker; empty: those of the board's system
	User          string        // empty: without
	PasswordFile  string        // of the user; readable by this account alone
	Topic         string        // that all topics begin with
	Every         time.Duration // how long what changes steadily waits between two times that it is told
	May           door.Role     // what messages may ask for; below [door.Use] none are listened to
	API           http.Handler  // the JSON interface, for what is asked
	Log           *slog.Logger
}

// Messenger is the watcher that tells, and the service that keeps the connection.
type Messenger struct {
	o      Options
	newest atomic.Pointer[tick.Tick]
	news   chan struct{} // a tick has come
	wait   func(ctx context.Context, d time.Duration)
	// farewell is how long the end of the program leaves a broker to hear of it.
	farewell time.Duration
}

var _ tick.Watcher = (*Messenger)(nil)

// New makes a messenger that is not connected.
func New(o Options) *Messenger {
	return &Messenger{o: o, news: make(chan struct{}, 1), wait: sleep, farewell: time.Second}
}

// Watch keeps the tick, for whenever there is a broker to tell it to.
func (m *Messenger) Watch(t *tick.Tick) {
	m.newest.Store(t)
	select {
	case m.news <- struct{}{}:
	default: // the one before was not told yet
	}
}

// After a connection was lost or refused it is tried again: soon, then less and
// less often.
const (
	leastPause = time.Second
	mostPause  = time.Minute
)

// Run keeps the connection until ctx ends. What is wrong with it is logged once, not
// with every try.
func (m *Messenger) Run(ctx context.Context) error {
	pause, logged := leastPause, ""
	for {
		met, err := m.session(ctx)
		if ctx.Err() != nil {
			return nil
		}
		if met {
			pause, logged = leastPause, ""
		}
		if words := err.Error(); words != logged {
			m.o.Log.Warn("the message broker is not there; what is new will be told when it is", "broker", m.o.Broker, "error", words)
			logged = words
		}
		m.wait(ctx, pause)
		pause = min(2*pause, mostPause)
	}
}

func sleep(ctx context.Context, d time.Duration) {
	timer := time.NewTimer(d)
	defer timer.Stop()
	select {
	case <-timer.C:
	case <-ctx.Done():
	}
}
