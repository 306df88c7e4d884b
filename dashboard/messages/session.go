package messages

import (
	"context"
	"fmt"
	"runtime/debug"
	"strings"
	"sync/atomic"
	"time"

	"sunstoker/dashboard/door"
	"sunstoker/dashboard/messages/mqtt"
	"sunstoker/station/tick"
)

const (
	timeout   = 10 * time.Second // for the broker to answer one packet
	keepAlive = 30 * time.Second

	waitingAsks = 8    // that may wait for the controller; more are refused
	longestAsk  = 1024 // bytes of what is asked
)

// What is told under "state": the last of it by the broker itself, when the connection
// breaks.
const (
	here = "here"
	gone = "gone"
)

// session connects once and goes on until the connection or ctx ends. Met tells
// whether the broker took the connection.
func (m *Messenger) session(ctx context.Context) (met bool, err error) {
	password, err := m.password()
	if err != nil {
		return false, err
	}
	conn, err := m.dial(ctx)
	if err != nil {
		return false, err
	}
	s := &session{m: m, asks: make(chan ask, waitingAsks), told: map[string]told{}}
	defer context.AfterFunc(ctx, func() { time.AfterFunc(m.farewell, func() { conn.Close() }) })()
	s.conn, err = mqtt.Open(conn, mqtt.Options{
		ClientID: "sunstoker-" + strings.ReplaceAll(m.o.Topic, "/", "-"), User: m.o.User, Password: password,
		Will: s.state(gone), KeepAlive: keepAlive, Timeout: timeout, Receive: s.receive, MostPayload: longestAsk,
	})
	if err != nil {
		return false, err
	}
	m.o.Log.Info("the message broker is there", "broker", m.o.Broker)
	defer s.conn.Close()
	ended := make(chan error, 1)
	go func() { ended <- s.serve() }()
	return true, s.converse(ctx, ended)
}

// session is one connection.
type session struct {
	m       *Messenger
	conn    *mqtt.Conn
	asks    chan ask
	refused atomic.Int64    // asks for which there was no room
	told    map[string]told // by topic, what the broker has
}

// serve reads what comes. A mistake in doing so must not take the daemon with it.
func (s *session) serve() (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("what the broker sent can't be read: %v", p)
			s.m.o.Log.Error("reading what the message broker sent panicked", "error", err, "stack", string(debug.Stack()))
		}
	}()
	return s.conn.Serve()
}

// receive lays what is asked where the session comes to it. An empty message asks
// nothing: it has cleared a topic. Topics that nobody subscribed to are a broker's own.
func (s *session) receive(m mqtt.Message) {
	if len(m.Payload) == 0 || !strings.HasPrefix(m.Topic, s.m.askTopic()) {
		return
	}
	select {
	case s.asks <- ask{m, time.Now()}:
	default:
		s.refused.Add(1)
	}
}

func (s *session) converse(ctx context.Context, ended <-chan error) error {
	if err := s.begin(); err != nil {
		return err
	}
	ping := time.NewTicker(keepAlive / 2)
	defer ping.Stop()
	for {
		var err error
		select {
		case <-ctx.Done():
			return s.leave()
		case err = <-ended:
			return err
		case <-ping.C:
			err = s.conn.Ping()
		case <-s.m.news:
			err = s.tell(s.m.newest.Load())
		case ask := <-s.asks:
			err = s.answer(ctx, ask)
		}
		if err != nil {
			return err
		}
	}
}

// begin listens for what is asked, and tells all there is.
func (s *session) begin() error {
	if s.m.o.May.May(door.Use) {
		if err := s.conn.Subscribe(s.m.askTopic() + "#"); err != nil {
			return err
		}
	}
	if err := s.conn.Publish(*s.state(here)); err != nil {
		return err
	}
	if t := s.m.newest.Load(); t != nil {
		return s.tell(t)
	}
	return nil
}

// leave says that nobody is there any more, which the broker would say else.
func (s *session) leave() error {
	if err := s.conn.Publish(*s.state(gone)); err != nil {
		return err
	}
	return s.conn.Leave()
}

func (s *session) state(words string) *mqtt.Message {
	return &mqtt.Message{Topic: s.m.o.Topic + "/state", Payload: []byte(words), Retain: true}
}

// tell publishes what is new in a tick.
func (s *session) tell(t *tick.Tick) error {
	for _, subject := range subjectsOf(t, s.m.o.May) {
		payload, due, err := s.due(&subject, t.At)
		if err != nil {
			return err
		}
		if !due {
			continue
		}
		if err := s.conn.Publish(mqtt.Message{Topic: s.m.o.Topic + "/" + subject.topic, Payload: payload, Retain: true}); err != nil {
			return err
		}
		s.told[subject.topic] = told{subject.sign, payload, t.At}
	}
	return nil
}
