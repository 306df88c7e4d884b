package mqtt

import (
	"bufio"
	"cmp"
	"encoding/binary"
	"errors"
	"fmt"
	"net"
	"sync"
	"time"
)

// Options say who connects, and how.
type Options struct {
	ClientID string // the broker ends an older connection under the same one
	User     string // empty: neither user nor password are sent
	Password []byte
	Will     *Message // that the broker publishes when the connection breaks
	// KeepAlive is how long the connection may be silent; the broker takes a client
	// for dead after one and a half of it. Whole seconds.
	KeepAlive time.Duration
	// Timeout is how long a single answer, or room for what is sent, may take.
	Timeout time.Duration
	// Receive is given every message of what was subscribed to, once. It must return
	// at once.
	Receive func(Message)
	// MostPayload is how much is kept of the payload of a message that comes in.
	MostPayload int
}

// Conn is a connection to a broker. Its methods may be called from any goroutine, but
// Publish and Subscribe from one at a time.
type Conn struct {
	o       Options
	conn    net.Conn
	in      *bufio.Reader
	writing sync.Mutex
	nextID  uint16
	answers chan answer   // to what was published or subscribed to
	ended   chan struct{} // closed when nothing is read any more
	why     error         // it has ended; to be read behind that
}

type answer struct {
	kind    kind
	id      uint16
	refused bool
}

// Open tells the broker who connects, over a connection that is there, and waits until
// it is taken. It closes the connection when it is not. The caller must let
// [Conn.Serve] run then.
func Open(conn net.Conn, o Options) (*Conn, error) {
	c := &Conn{o: o, conn: conn, in: bufio.NewReader(conn), answers: make(chan answer, 1), ended: make(chan struct{})}
	if err := c.introduce(); err != nil {
		return nil, errors.Join(err, conn.Close())
	}
	return c, nil
}

// Flags of the packet that connects (section 3.1.2.3).
const (
	cleanSession = 0x02
	hasWill      = 0x04
	willOnce     = 0x08 // quality of service 1
	willRetain   = 0x20
	hasPassword  = 0x40
	hasUser      = 0x80
)

func (c *Conn) introduce() error {
	flags := byte(cleanSession)
	payload := [][]byte{text(c.o.ClientID)}
	if w := c.o.Will; w != nil {
		flags |= hasWill | willOnce
		if w.Retain {
			flags |= willRetain
		}
		payload = append(payload, text(w.Topic), text(w.Payload))
	}
	if c.o.User != "" {
		flags |= hasUser | hasPassword
		payload = append(payload, text(c.o.User), text(c.o.Password))
	}
	const level = 4 // of the protocol: 3.1.1
	head := append(text("MQTT"), level, flags)
	body := append([][]byte{head, number(uint16(c.o.KeepAlive / time.Second))}, payload...)
	if err := c.send(connect, 0, body...); err != nil {
		return err
	}
	if err := c.alive(c.o.Timeout); err != nil {
		return err
	}
	h, err := readHeader(c.in)
	if err != nil {
		return err
	}
	if h.kind != connack {
		return fmt.Errorf("%w: a packet of kind %d where it should take the connection or refuse it", errForbidden, h.kind)
	}
	taken, err := h.readShort(c.in, 2)
	if err != nil {
		return err
	}
	return refusal(taken[1])
}

// refusals are the reasons for which a broker takes no connection (section 3.2.2.3).
var refusals = [...]string{
	1: "it does not speak MQTT 3.1.1",
	2: "it does not take the name of this client",
	3: "it takes no connections now",
	4: "user or password are wrong",
	5: "this client may not connect: see user and password",
}

func refusal(code byte) error {
	switch {
	case code == 0:
		return nil
	case int(code) < len(refusals):
		return errors.New(refusals[code])
	}
	return fmt.Errorf("it refuses the connection for a reason that MQTT 3.1.1 does not know, %d", code)
}

func (c *Conn) send(k kind, flags byte, body ...[]byte) error {
	out, err := packet(k, flags, body...)
	if err != nil {
		return err
	}
	c.writing.Lock()
	defer c.writing.Unlock()
	if err := c.conn.SetWriteDeadline(time.Now().Add(c.o.Timeout)); err != nil {
		return err
	}
	_, err = c.conn.Write(out)
	return err
}

// alive gives the broker so long to send the next of its bytes.
func (c *Conn) alive(within time.Duration) error {
	return c.conn.SetReadDeadline(time.Now().Add(within))
}

// Serve reads what the broker sends until the connection ends, and says why. A broker
// that is silent for one and a half of KeepAlive is taken for dead: the caller must
// call [Conn.Ping] more often than that.
func (c *Conn) Serve() (err error) {
	defer func() {
		c.why = cmp.Or(err, errRead)
		close(c.ended)
	}()
	for {
		if err := c.one(c.o.KeepAlive * 3 / 2); err != nil {
			return err
		}
	}
}

// one reads one packet, which must begin within that time, and does what it asks for.
// The time is looked at again when the packet is there: to a program that was stopped
// and goes on, what came meanwhile may be there sooner than the end of its time.
func (c *Conn) one(within time.Duration) error {
	begun := time.Now()
	if err := c.alive(within); err != nil {
		return err
	}
	h, err := readHeader(c.in)
	switch {
	case err != nil:
		return err
	case time.Since(begun) > within:
		return errLate
	}
	switch h.kind {
	case publish:
		m, id, err := h.publication(c.in, c.o.MostPayload, func() error { return c.alive(c.o.Timeout) })
		if err != nil {
			return err
		}
		if !h.again() {
			c.o.Receive(m)
		}
		if id == 0 {
			return nil
		}
		return c.send(puback, 0, number(id))
	case puback:
		body, err := h.readShort(c.in, 2)
		if err != nil {
			return err
		}
		c.answered(answer{puback, binary.BigEndian.Uint16(body), false})
		return nil
	case suback:
		body, err := h.readShort(c.in, 3)
		if err != nil {
			return err
		}
		c.answered(answer{suback, binary.BigEndian.Uint16(body), body[2] > 1})
		return nil
	case pingAnswer:
		_, err := h.readShort(c.in, 0)
		return err
	case disconnect: // by the standard for clients alone; some brokers say it to everybody
		return errors.New("it has ended the connection")
	}
	return fmt.Errorf("%w: a packet of kind %d, which is for brokers", errForbidden, h.kind)
}

// answered hands an answer to who waits. One that nobody waits for makes room for
// the next.
func (c *Conn) answered(a answer) {
	for {
		select {
		case c.answers <- a:
			return
		default:
		}
		select {
		case <-c.answers:
		default:
		}
	}
}

var (
	errSilent = errors.New("it does not answer in time")
	errLate   = errors.New("nobody has listened to it for so long that what it sent meanwhile is dropped")
	errRead   = errors.New("what it sent can't be read") // Serve panicked
)

// await waits for the answer to a packet.
func (c *Conn) await(k kind, id uint16) error {
	timeout := time.NewTimer(c.o.Timeout)
	defer timeout.Stop()
	for {
		var a answer
		select {
		case a = <-c.answers:
		case <-timeout.C:
			return errSilent
		case <-c.ended:
			select {
			case a = <-c.answers: // the last that came
			default:
				return c.why
			}
		}
		switch {
		case a.kind != k || a.id != id: // late, to an earlier one
		case a.refused:
			return errors.New("it refuses the subscription: see what this user may")
		default:
			return nil
		}
	}
}

// id is the number of the next packet, never 0.
func (c *Conn) id() uint16 {
	if c.nextID++; c.nextID == 0 {
		c.nextID = 1
	}
	return c.nextID
}

// Publish hands a message to the broker and waits until it has taken it.
func (c *Conn) Publish(m Message) error {
	flags, id := byte(flagOnce), c.id()
	if m.Retain {
		flags |= flagRetain
	}
	if err := c.send(publish, flags, text(m.Topic), number(id), m.Payload); err != nil {
		return err
	}
	return c.await(puback, id)
}

// Subscribe asks for the messages of all topics of a filter, at quality of service 1.
func (c *Conn) Subscribe(filter string) error {
	id := c.id()
	const once = 1
	if err := c.send(subscribe, flagOnce, number(id), text(filter), []byte{once}); err != nil {
		return err
	}
	return c.await(suback, id)
}

// Ping asks the broker for a sign of life.
func (c *Conn) Ping() error { return c.send(pingRequest, 0) }

// Leave says good-bye, so that the broker does not publish the will, and ends the
// connection.
func (c *Conn) Leave() error { return errors.Join(c.send(disconnect, 0), c.conn.Close()) }

// Close ends the connection without a word: the will is published.
func (c *Conn) Close() error { return c.conn.Close() }
