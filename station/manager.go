package station

import (
	"log/slog"
	"time"

	"github.com/coreos/go-systemd/v22/daemon"
)

// manager speaks with the service manager, by the protocol of sd_notify(3).
// Without one it does nothing. Messages are sent from a goroutine, since the
// socket of a busy manager can block.
type manager struct {
	log      *slog.Logger
	clock    Clock
	feeds    time.Duration // how often the watchdog is fed, 0 without one
	fedAt    time.Duration
	fed      bool
	status   string
	send     func(text string) error // to the service manager
	messages chan message
	stopped  chan struct{}
}

type message struct {
	text string
	done func()
}

func newManager(log *slog.Logger, clock Clock) *manager {
	m := &manager{log: log, clock: clock, send: notify, messages: make(chan message, 8), stopped: make(chan struct{})}
	interval, err := daemon.SdWatchdogEnabled(false)
	if err != nil {
		log.Warn("the service manager's watchdog is not fed: its interval can't be read", "error", err)
	}
	m.feeds = interval / 5
	return m
}

// run sends what is told until it is closed.
func (m *manager) run() {
	defer close(m.stopped)
	failed := false
	for message := range m.messages {
		err := m.deliver(message)
		if err != nil && !failed {
			m.log.Warn("the service manager can't be told how things are", "error", err)
		}
		failed = err != nil
	}
}

func (m *manager) deliver(message message) error {
	defer message.done()
	return m.send(message.text)
}

func notify(text string) error {
	_, err := daemon.SdNotify(false, text)
	return err
}

// tell queues a message; when the manager does not listen it is lost.
func (m *manager) tell(text string) {
	done := m.clock.Busy("the service manager")
	select {
	case m.messages <- message{text, done}:
	default:
		done()
	}
}

// finished is called after every tick, once every output was given its command
// and has answered, and nowhere else. An output that answers with a fault is a
// finding; a restart would not mend it. It feeds the watchdog at most once in a fifth of
// its interval: half of it, as sd_watchdog_enabled(3) advises, would leave the guard,
// whose interval is shorter than a second, little time to be late in.
func (m *manager) finished(now time.Duration) {
	if m.feeds == 0 || m.fed && now-m.fedAt < m.feeds {
		return
	}
	m.fedAt, m.fed = now, true
	m.tell(daemon.SdNotifyWatchdog)
}

// show sets the line that the service manager shows, when it has changed.
func (m *manager) show(status string) {
	if status != m.status {
		m.status = status
		m.tell("STATUS=" + status)
	}
}

func (m *manager) close() { close(m.messages) }
