package mqtt

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"errors"
	"io"
	"net"
	"strings"
	"testing"
	"time"
)

func options() Options {
	return Options{ClientID: "house", KeepAlive: time.Minute, Timeout: 5 * time.Second, MostPayload: 8, Receive: func(Message) {}}
}

// broker plays the other side of a connection: it takes what is written as hex and
// gives what it gets.
type broker struct {
	t    *testing.T
	conn net.Conn
	in   *bufio.Reader
}

func newBroker(t *testing.T) (*broker, net.Conn) {
	theirs, ours := net.Pipe()
	t.Cleanup(func() { theirs.Close(); ours.Close() })
	theirs.SetDeadline(time.Now().Add(10 * time.Second)) // only a test that fails waits for it
	return &broker{t, theirs, bufio.NewReader(theirs)}, ours
}

func fromHex(text string) []byte {
	out, err := hex.DecodeString(strings.ReplaceAll(text, " ", ""))
	if err != nil {
		panic(err)
	}
	return out
}

func (b *broker) send(text string) {
	if _, err := b.conn.Write(fromHex(text)); err != nil {
		b.t.Errorf("the broker can't send %s: %v", text, err)
	}
}

// take reads a whole packet.
func (b *broker) take() []byte {
	first, err := b.in.ReadByte()
	if err != nil {
		b.t.Errorf("nothing comes to the broker: %v", err)
		return nil
	}
	b.in.UnreadByte()
	h, err := readHeader(b.in)
	if err != nil {
		b.t.Errorf("the broker can't read a header: %v", err)
		return nil
	}
	body := make([]byte, h.length)
	if _, err := io.ReadFull(b.in, body); err != nil {
		b.t.Errorf("the broker can't read a packet: %v", err)
	}
	return append([]byte{first, byte(h.length)}, body...)
}

func (b *broker) expect(what, text string) {
	b.t.Helper()
	if got := b.take(); !bytes.Equal(got, fromHex(text)) {
		b.t.Errorf("%s: got % x, want %s", what, got, text)
	}
}

// open connects to a broker that takes it.
func open(t *testing.T, o Options) (*broker, *Conn, <-chan error) {
	b, conn := newBroker(t)
	go func() { b.take(); b.send("20 02 00 00") }()
	c, err := Open(conn, o)
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- c.Serve() }()
	return b, c, ended
}

// Lengths of the standard's table 2.4, from memory.
func TestLengths(t *testing.T) {
	for text, want := range map[string]int{
		"30 00": 0, "30 7f": 127, "30 80 01": 128, "30 ff 7f": 16383, "30 80 80 01": 16384,
		"30 ff ff 7f": 2097151, "30 80 80 80 01": 2097152, "30 ff ff ff 7f": 268435455,
	} {
		h, err := readHeader(bufio.NewReader(bytes.NewReader(fromHex(text))))
		if err != nil || h.length != want || h.kind != publish {
			t.Errorf("%s: %+v, %v, want the length %d", text, h, err, want)
		}
		made, err := packet(publish, 0, make([]byte, min(want, 70000)))
		if want < 70000 && (err != nil || !bytes.HasPrefix(made, fromHex(text))) {
			t.Errorf("%d bytes: begins with % x, want %s", want, made[:5], text)
		}
	}
	if _, err := readHeader(bufio.NewReader(bytes.NewReader(fromHex("30 ff ff ff ff 01")))); !errors.Is(err, errForbidden) {
		t.Errorf("a length of five bytes: %v", err)
	}
	if _, err := packet(publish, 0, make([]byte, mostLength+1)); err == nil {
		t.Error("a packet that is too long is made")
	}
}

// TestConnects: the packet that connects, byte by byte as section 3.1 has it (from
// memory).
func TestConnects(t *testing.T) {
	b, conn := newBroker(t)
	o := options()
	o.User, o.Password, o.Will = "anna", []byte("rain"), &Message{Topic: "t", Payload: []byte("gone"), Retain: true}
	go func() {
		b.expect("the connection", "10 26 0004 4d515454 04 ee 003c 0005 686f757365 0001 74 0004 676f6e65 0004 616e6e61 0004 7261696e")
		b.send("20 02 00 00")
	}()
	if _, err := Open(conn, o); err != nil {
		t.Error(err)
	}
}

func TestRefusedConnectionsSayWhy(t *testing.T) {
	for sent, want := range map[string]string{
		"20 02 00 04":    "user or password are wrong",
		"20 02 00 05":    "may not connect",
		"20 02 00 01":    "does not speak",
		"20 02 00 63":    "does not know, 99",
		"d0 00":          "no MQTT 3.1.1",
		"20 03 00 00 00": "no MQTT 3.1.1",
		"21 02 00 00":    "no MQTT 3.1.1",
	} {
		b, conn := newBroker(t)
		go func() { b.take(); b.conn.Write(fromHex(sent)) }()
		if _, err := Open(conn, options()); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", sent, err, want)
		}
		if _, err := conn.Write(nil); err == nil {
			t.Errorf("%s: the connection is still open", sent)
		}
	}
}

func TestPublishesAndSubscribes(t *testing.T) {
	b, c, _ := open(t, options())
	go func() {
		b.expect("a message that is kept", "33 09 0003 612f62 0001 6869")
		b.send("40 02 0001")
		b.expect("a message", "32 07 0001 61 0002 6869")
		b.send("40 02 0001") // late, of the one before
		b.send("40 02 0002")
		b.expect("a subscription", "82 08 0003 0003 612f23 01")
		b.send("90 03 0003 01")
		b.expect("another", "82 06 0004 0001 62 01")
		b.send("90 03 0004 80")
		b.expect("a ping", "c0 00")
		b.send("d0 00")
		b.expect("the good-bye", "e0 00")
	}()
	if err := c.Publish(Message{Topic: "a/b", Payload: []byte("hi"), Retain: true}); err != nil {
		t.Error(err)
	}
	if err := c.Publish(Message{Topic: "a", Payload: []byte("hi")}); err != nil {
		t.Error(err)
	}
	if err := c.Subscribe("a/#"); err != nil {
		t.Error(err)
	}
	if err := c.Subscribe("b"); err == nil || !strings.Contains(err.Error(), "refuses") {
		t.Errorf("a subscription that is refused: %v", err)
	}
	if err := errors.Join(c.Ping(), c.Leave()); err != nil {
		t.Error(err)
	}
}

func TestMessagesComeIn(t *testing.T) {
	got := make(chan Message, 9)
	o := options()
	o.Receive = func(m Message) { got <- m }
	b, _, _ := open(t, o)
	go func() {
		b.send("31 05 0001 61 6869")
		b.send("32 07 0001 61 0007 6869")
		b.expect("that it came", "40 02 0007")
		b.send("30 0f 0001 61 313233343536373839303132")
		b.send("3a 07 0001 61 0007 6869") // the second of them again
		b.expect("that it came again", "40 02 0007")
		b.send("30 03 0001 62")
	}()
	for _, want := range []Message{
		{"a", []byte("hi"), true, false}, {"a", []byte("hi"), false, false}, {"a", []byte("12345678"), false, true}, {"b", []byte{}, false, false},
	} {
		if m := <-got; m.Topic != want.Topic || !bytes.Equal(m.Payload, want.Payload) || m.Retain != want.Retain || m.Cut != want.Cut {
			t.Errorf("got %+v, want %+v", m, want)
		}
	}
}

func TestWhatIsNoMQTTEndsTheConnection(t *testing.T) {
	for what, sent := range map[string]string{
		"text":                         "48 54 54 50",
		"a second welcome":             "20 02 00 00",
		"a message that is too short":  "30 01 00",
		"a topic beyond its message":   "30 04 0009 61 62",
		"a service not asked for":      "34 07 0001 61 0001 6869",
		"a message of number 0":        "32 05 0001 61 0000",
		"one again that had no number": "38 05 0001 61 6869",
		"a packet for brokers":         "c0 00",
		"a longer acknowledgement":     "40 03 0001 00",
		"flags where there are none":   "d1 00",
		"an endless length":            "30 ff ff ff ff 01",
	} {
		b, c, ended := open(t, options())
		go b.conn.Write(fromHex(sent))
		if err := <-ended; !errors.Is(err, errForbidden) {
			t.Errorf("%s: %v", what, err)
		}
		c.Close()
		if err := c.await(puback, 1); !errors.Is(err, errForbidden) {
			t.Errorf("%s: who waits is told %v", what, err)
		}
	}
}

// TestSilenceEndsIt: a broker that neither answers nor hangs up is left.
func TestSilenceEndsIt(t *testing.T) {
	o := options()
	o.Timeout = time.Millisecond
	_, conn := newBroker(t)
	if _, err := Open(conn, o); err == nil {
		t.Error("a broker that is silent from the start is taken")
	}
	o.Timeout = 5 * time.Second
	b, c, _ := open(t, o)
	c.o.Timeout = time.Millisecond
	go io.Copy(io.Discard, b.conn)
	if err := c.await(puback, 1); !errors.Is(err, errSilent) {
		t.Errorf("a message that is not acknowledged: %v", err)
	}
}

// TestWhatCameWhileNobodyListenedIsDropped: a program that was stopped and goes on finds
// it all there.
func TestWhatCameWhileNobodyListenedIsDropped(t *testing.T) {
	c := serving(fromHex("30 05 0001 61 6869"))
	c.o.KeepAlive = time.Nanosecond // any time is too long
	c.o.Receive = func(m Message) { t.Errorf("%+v is handed on", m) }
	if err := c.Serve(); !errors.Is(err, errLate) {
		t.Errorf("it ends with %v", err)
	}
}

// serving is a connection that has brought something, whenever it is looked at.
func serving(sent []byte) *Conn {
	conn := &played{in: bytes.NewReader(sent)}
	return &Conn{o: options(), conn: conn, in: bufio.NewReader(conn), answers: make(chan answer, 1), ended: make(chan struct{})}
}

// FuzzServe: whatever a broker sends, the connection ends in words and nothing is
// allocated for what was only announced.
func FuzzServe(f *testing.F) {
	for _, sent := range []string{"31 05 0001 61 6869", "32 07 0001 61 0007 6869", "3a 07 0001 61 0007 6869", "40 02 0001", "90 03 0001 80", "d0 00", "30 ff ff ff 7f 0001 61", "30 0f 0001 61 313233343536373839303132"} {
		f.Add(fromHex(sent))
	}
	f.Fuzz(func(t *testing.T, sent []byte) {
		c := serving(sent)
		c.o.Receive = func(m Message) {
			if len(m.Payload) > c.o.MostPayload || len(m.Topic) > len(sent) {
				t.Errorf("of %d bytes came a topic of %d and a payload of %d", len(sent), len(m.Topic), len(m.Payload))
			}
		}
		if err := c.Serve(); err == nil || err.Error() == "" {
			t.Error("it ends without a word")
		}
	})
}

// played is a connection from which a recorded text is read.
type played struct {
	net.Conn
	in io.Reader
}

func (p *played) Read(b []byte) (int, error)       { return p.in.Read(b) }
func (p *played) Write(b []byte) (int, error)      { return len(b), nil }
func (p *played) SetReadDeadline(time.Time) error  { return nil }
func (p *played) SetWriteDeadline(time.Time) error { return nil }
