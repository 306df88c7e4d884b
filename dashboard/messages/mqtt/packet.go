package mqtt

import (
	"bufio"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
)

// kind is the kind of a packet: the upper half of its first byte (section 2.2.1).
type kind byte

const (
	connect     kind = 1
	connack     kind = 2
	publish     kind = 3
	puback      kind = 4
	subscribe   kind = 8
	suback      kind = 9
	pingRequest kind = 12
	pingAnswer  kind = 13
	disconnect  kind = 14
)

// Flags in the lower half of the first byte.
const (
	flagRetain    = 0x01
	flagOnce      = 0x02 // quality of service 1, of a publication; all subscriptions carry it
	flagTwice     = 0x04 // quality of service 2
	flagAgain     = 0x08 // sent before
	longestVaried = 4    // bytes that a packet's length takes at most
	mostLength    = 1<<(7*longestVaried) - 1
	longestText   = 1<<16 - 1
)

// Message is what is published under a topic.
type Message struct {
	Topic   string
	Payload []byte
	Retain  bool // sent: the broker keeps it for those who come later; received: it was kept
	Cut     bool // received: the payload was longer than it may be, and this is the first part
}

// errForbidden is about a packet that the standard does not allow.
var errForbidden = errors.New("what it sent is no MQTT 3.1.1")

// packet puts a packet together.
func packet(k kind, flags byte, body ...[]byte) ([]byte, error) {
	length := 0
	for _, part := range body {
		length += len(part)
	}
	if length > mostLength {
		return nil, fmt.Errorf("a packet of %d bytes is longer than the %d that MQTT knows", length, mostLength)
	}
	out := binary.AppendUvarint([]byte{byte(k)<<4 | flags}, uint64(length)) // the same base-128 numbers
	for _, part := range body {
		out = append(out, part...)
	}
	return out, nil
}

// text is a string with its length before it (section 1.5.3). It is cut where it is
// longer than can be said.
func text[T ~string | ~[]byte](s T) []byte {
	n := min(len(s), longestText)
	return append(binary.BigEndian.AppendUint16(nil, uint16(n)), s[:n]...)
}

func number(n uint16) []byte { return binary.BigEndian.AppendUint16(nil, n) }

// header is the begin of a packet that comes in.
type header struct {
	kind   kind
	flags  byte
	length int // of what follows
}

func readHeader(in *bufio.Reader) (header, error) {
	first, err := in.ReadByte()
	if err != nil {
		return header{}, err
	}
	h := header{kind: kind(first >> 4), flags: first & 0x0f}
	for i := range longestVaried {
		b, err := in.ReadByte()
		if err != nil {
			return header{}, err
		}
		h.length |= int(b&0x7f) << (7 * i)
		if b < 0x80 {
			return h, nil
		}
	}
	return header{}, fmt.Errorf("%w: a length of more than %d bytes", errForbidden, longestVaried)
}

// readShort reads the rest of a packet that has so many bytes, and flags of zero.
func (h header) readShort(in *bufio.Reader, length int) ([]byte, error) {
	if h.length != length || h.flags != 0 {
		return nil, fmt.Errorf("%w: a packet of kind %d with %d bytes and flags %#x", errForbidden, h.kind, h.length, h.flags)
	}
	body := make([]byte, length)
	_, err := io.ReadFull(in, body)
	return body, err
}

// again tells whether a message has come before: in a clean session only over the same
// connection, which loses none.
func (h header) again() bool { return h.flags&flagAgain != 0 }

// publication reads the rest of a message. Of its payload it keeps so many bytes. The
// number is to be acknowledged, where there is one.
func (h header) publication(in *bufio.Reader, most int, alive func() error) (m Message, id uint16, err error) {
	if h.flags&flagTwice != 0 {
		return m, 0, fmt.Errorf("%w: a message with a quality of service that was not asked for", errForbidden)
	}
	if h.again() && h.flags&flagOnce == 0 {
		return m, 0, fmt.Errorf("%w: a message that comes again though nobody was to acknowledge it", errForbidden)
	}
	left := h.length
	take := func(n int) ([]byte, error) {
		if left -= n; left < 0 {
			return nil, fmt.Errorf("%w: a message that ends within its head", errForbidden)
		}
		part := make([]byte, n)
		_, err := io.ReadFull(in, part)
		return part, err
	}
	size, err := take(2)
	if err != nil {
		return m, 0, err
	}
	topic, err := take(int(binary.BigEndian.Uint16(size)))
	if err != nil {
		return m, 0, err
	}
	if h.flags&flagOnce != 0 {
		number, err := take(2)
		if err != nil {
			return m, 0, err
		}
		if id = binary.BigEndian.Uint16(number); id == 0 {
			return m, 0, fmt.Errorf("%w: a message with the number 0", errForbidden)
		}
	}
	m = Message{Topic: string(topic), Retain: h.flags&flagRetain != 0, Cut: left > most}
	if m.Payload, err = take(min(left, most)); err != nil {
		return m, 0, err
	}
	return m, id, skip(in, left, alive)
}

// skipStep is how much is skipped before the time until which it must come is set
// anew: who sends steadily may send for long.
const skipStep = 64 << 10

func skip(in *bufio.Reader, n int, alive func() error) error {
	for n > 0 {
		if err := alive(); err != nil {
			return err
		}
		skipped, err := in.Discard(min(n, skipStep))
		if err != nil {
			return err
		}
		n -= skipped
	}
	return nil
}
