package messages

import (
	"bytes"
	"context"
	"crypto/tls"
	"io"
	"log/slog"
	"net"
	"sync"
	"testing"
	"time"

	broker "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"

	"sunstoker/dashboard/door"
)

// patience is only waited for by a test that fails.
const patience = 20 * time.Second

// aBroker is a broker of others in this process.
type aBroker struct {
	t      *testing.T
	server *broker.Server
	seen   chan packets.Packet
	stop   func() // as when it is killed: its own way out races with who comes just then
}

// startBroker starts one at an address; encrypted with a certificate. It takes the user
// anna with the password rain, and others where they bring neither.
func startBroker(t *testing.T, address string, certificate *tls.Certificate) *aBroker {
	t.Helper()
	listener, err := net.Listen("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	if certificate != nil {
		listener = tls.NewListener(listener, &tls.Config{Certificates: []tls.Certificate{*certificate}})
	}
	b := &aBroker{t: t, seen: make(chan packets.Packet, 1000)}
	b.server = broker.New(&broker.Options{InlineClient: true, Logger: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err := b.server.AddHook(&guest{}, nil); err != nil {
		t.Fatal(err)
	}
	if err := b.server.AddListener(listeners.NewNet("tests", listener)); err != nil {
		t.Fatal(err)
	}
	if err := b.server.Serve(); err != nil {
		t.Fatal(err)
	}
	if err := b.server.Subscribe("#", 1, func(_ *broker.Client, _ packets.Subscription, p packets.Packet) { b.seen <- p }); err != nil {
		t.Fatal(err)
	}
	b.stop = sync.OnceFunc(func() {
		listener.Close()
		b.cut()
	})
	t.Cleanup(b.stop)
	return b
}

type guest struct{ broker.HookBase }

func (*guest) ID() string { return "guest" }

func (*guest) Provides(b byte) bool {
	return b == broker.OnConnectAuthenticate || b == broker.OnACLCheck
}

func (*guest) OnConnectAuthenticate(_ *broker.Client, p packets.Packet) bool {
	c := p.Connect
	return !c.UsernameFlag && !c.PasswordFlag || string(c.Username) == "anna" && string(c.Password) == "rain"
}

func (*guest) OnACLCheck(*broker.Client, string, bool) bool { return true }

// await takes what is published until a topic comes.
func (b *aBroker) await(topic string) packets.Packet {
	b.t.Helper()
	timeout := time.After(patience)
	for {
		select {
		case p := <-b.seen:
			if p.TopicName == topic {
				return p
			}
		case <-timeout:
			b.t.Fatalf("nothing comes under %s", topic)
		}
	}
}

func (b *aBroker) awaitText(topic string) string {
	b.t.Helper()
	return string(b.await(topic).Payload)
}

// cleared waits until a topic is cleared, and nothing is kept there.
func (b *aBroker) cleared(topic string) {
	b.t.Helper()
	for b.awaitText(topic) != "" {
	}
	if kept := b.kept(topic); kept != "" {
		b.t.Errorf("%s still keeps %s", topic, kept)
	}
}

// cut ends all connections without a word.
func (b *aBroker) cut() {
	for _, client := range b.server.Clients.GetAll() {
		if conn := client.Net.Conn; conn != nil {
			conn.Close()
		}
	}
}

// kept is what the broker keeps for those who come later.
func (b *aBroker) kept(topic string) string {
	for _, p := range b.server.Topics.Messages(topic) {
		return string(p.Payload)
	}
	return ""
}

func (b *aBroker) address() string {
	listener, _ := b.server.Listeners.Get("tests")
	return listener.Address()
}

// running is a messenger that runs.
type running struct {
	*Messenger
	log   *lockedText
	waits chan time.Duration // how long it means to wait; it goes on when that is read
	end   func()             // and waits until it has ended
}

func start(t *testing.T, o Options) *running {
	t.Helper()
	return startWith(t, o, patience)
}

// startWith is start with so long for the farewell.
func startWith(t *testing.T, o Options, farewell time.Duration) *running {
	t.Helper()
	r := &running{log: &lockedText{}, waits: make(chan time.Duration)}
	o.Log = slog.New(slog.NewTextHandler(r.log, nil))
	if o.Topic == "" {
		o.Topic = "hill"
	}
	if o.Every == 0 {
		o.Every = 10 * time.Second
	}
	if o.May == door.Nobody {
		o.May = door.See
	}
	r.Messenger = New(o)
	r.farewell = farewell
	r.wait = func(ctx context.Context, d time.Duration) {
		select {
		case r.waits <- d:
		case <-ctx.Done():
		}
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- r.Run(ctx) }()
	r.end = sync.OnceFunc(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Errorf("the messenger ends with %v", err)
		}
		close(r.waits)
	})
	t.Cleanup(r.end)
	return r
}

// failed waits until it means to try again.
func (r *running) failed(t *testing.T) time.Duration {
	t.Helper()
	select {
	case d := <-r.waits:
		return d
	case <-time.After(patience):
		t.Fatalf("it does not give up: %s", r.log)
		return 0
	}
}

// persist lets it try again without waiting from now on.
func (r *running) persist() {
	go func() {
		for range r.waits {
		}
	}()
}

// lockedText is a log.
type lockedText struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *lockedText) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *lockedText) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}
