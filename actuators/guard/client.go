package guard

import (
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"sync"
	"syscall"
	"time"

	"sunstoker/actuators"
)

const (
	mostWaiting = 250 * time.Millisecond // for an answer: a part of a tick
	retryAfter  = 500 * time.Millisecond // a guard that failed is left alone so long, for the tick's sake
)

// Client is the daemon's end: its outputs are those of the guard. It connects by
// itself, as often as needed; while there is no guard nothing can be driven.
//
// It is safe for concurrent use.
type Client struct {
	path     string
	greeting string
	waits    time.Duration // for an answer
	outputs  []*Remote

	mu     sync.Mutex
	conn   *net.UnixConn // nil while there is none
	buffer []byte
	failed error // why there is none
	retry  time.Time
}

// Remote is an output that the guard holds.
//
// Beside the promises of every output: while there is no guard, Set is an error
// and Level is 0, since nobody drives the output; what its line does then is up
// to board and wiring. A guard that does not answer may still drive it, so Level
// then stays as it was.
type Remote struct {
	client *Client
	index  int
	wiring string
	level  float64 // the fields below are guarded by the client's mutex
	closed bool
}

// NewClient makes the outputs that a guard at the socket holds, by its wiring.
func NewClient(path string, wiring []string) *Client {
	c := &Client{path: path, greeting: hello(wiring), waits: mostWaiting, buffer: make([]byte, mostMessage)}
	for i, w := range wiring {
		c.outputs = append(c.outputs, &Remote{client: c, index: i, wiring: w})
	}
	return c
}

// Output is the output of an index of the wiring.
func (c *Client) Output(i int) *Remote { return c.outputs[i] }

// Connect comes to the guard, which drives all its outputs off. Without it the
// first order does so.
func (c *Client) Connect() error {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.connect()
}

// Close ends the connection, so that the guard drives all its outputs off.
func (c *Client) Close() {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.gone()
	_ = c.drop(actuators.ErrClosed) // what a later order is told
}

// Look lets the guard read the lines of a bank back.
func (c *Client) Look(bank int) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	_, told, err := c.call(order{verb: "look", index: bank})
	return errors.Join(err, told)
}

// Set asks for a level.
func (r *Remote) Set(command actuators.Command) error {
	r.client.mu.Lock()
	defer r.client.mu.Unlock()
	return r.ask(order{verb: "drive", index: r.index, level: command.Level, urgent: command.Urgent}, true)
}

// Level is the level that the guard last told.
func (r *Remote) Level() float64 {
	r.client.mu.Lock()
	defer r.client.mu.Unlock()
	return r.level
}

// Safe asks for off.
func (r *Remote) Safe() error {
	r.client.mu.Lock()
	defer r.client.mu.Unlock()
	if r.closed && r.level == 0 {
		return nil
	}
	return r.ask(order{verb: "off", index: r.index}, false)
}

// Close asks for off and refuses wishes from then on. The connection ends with
// the last of the outputs.
func (r *Remote) Close() error {
	r.client.mu.Lock()
	defer r.client.mu.Unlock()
	if r.closed {
		return nil
	}
	err := r.ask(order{verb: "off", index: r.index}, false)
	r.closed = true
	for _, other := range r.client.outputs {
		if !other.closed {
			return err
		}
	}
	_ = r.client.drop(actuators.ErrClosed) // what a later order is told
	return err
}

// String names the output as messages do.
func (r *Remote) String() string { return r.wiring }

func (r *Remote) ask(o order, wish bool) error {
	if wish && r.closed {
		return fmt.Errorf("%s: %w", r, actuators.ErrClosed)
	}
	level, told, err := r.client.call(o)
	if err == nil {
		r.level = level
	}
	if !wish && r.level == 0 && errors.Is(err, ErrAbsent) {
		return nil // nobody drives it, and it was off
	}
	if err = errors.Join(err, told); err != nil {
		return fmt.Errorf("%s, held by the guard: %w", r, err)
	}
	return nil
}

var (
	// ErrAbsent is wrapped by errors that say that there is no guard.
	ErrAbsent = errors.New("there is no guard, so nothing is driven; on some boards a line stays as it was until the guard is back, so use the isolator if it must be off. Start the guard (its service, or the command \"sunstoker guard\")")
	errSilent = errors.New("the guard does not answer, and may hold the output as it was: use the isolator if it must be off, and restart the guard")
)

// call sends an order and waits for its answer.
func (c *Client) call(o order) (level float64, told, err error) {
	if err := c.connect(); err != nil {
		return 0, nil, err
	}
	answer, err := c.exchange(o.String())
	if err == nil {
		level, told, err = parseReply(answer)
	}
	if err != nil {
		return 0, nil, c.lose(err)
	}
	return level, told, nil
}

// connect makes sure of a connection, and of the guard's welcome.
func (c *Client) connect() error {
	if c.conn != nil {
		return nil
	}
	if c.failed != nil && time.Now().Before(c.retry) {
		return c.failed
	}
	dialer := net.Dialer{Timeout: c.waits}
	conn, err := dialer.Dial("unixpacket", c.path)
	if err != nil {
		return c.lose(err)
	}
	c.conn = conn.(*net.UnixConn)
	answer, err := c.exchange(c.greeting)
	if err != nil {
		return c.lose(err)
	}
	_, told, err := parseReply(answer)
	if err = errors.Join(err, told); err != nil {
		return c.drop(fmt.Errorf("the guard refuses: %w", err))
	}
	for _, r := range c.outputs {
		r.level = 0
	}
	c.failed = nil
	return nil
}

func (c *Client) exchange(message string) (string, error) {
	if err := c.conn.SetDeadline(time.Now().Add(c.waits)); err != nil {
		return "", err
	}
	// A guard that refuses says so and ends the connection, perhaps before this
	// is written: what it has said can be read all the same.
	_, writing := c.conn.Write([]byte(message))
	n, err := c.conn.Read(c.buffer)
	switch {
	case err == nil && n > 0:
		return string(c.buffer[:n]), nil
	case writing != nil:
		return "", writing
	case err == nil: // how the end of a connection looks like
		return "", io.EOF
	}
	return "", err
}

// lose ends the connection after an error and says what that means for the
// outputs.
func (c *Client) lose(err error) error {
	if errors.Is(err, os.ErrDeadlineExceeded) || errors.Is(err, syscall.EAGAIN) {
		return c.drop(fmt.Errorf("%w (%w)", errSilent, err))
	}
	if errors.Is(err, errWords) {
		return c.drop(err)
	}
	c.gone()
	return c.drop(fmt.Errorf("%w (%w)", ErrAbsent, err))
}

// gone takes all outputs for off, since nobody drives them.
func (c *Client) gone() {
	for _, r := range c.outputs {
		r.level = 0
	}
}

// drop ends the connection for a while.
func (c *Client) drop(why error) error {
	if c.conn != nil {
		_ = c.conn.Close() // nothing to be done about it
		c.conn = nil
	}
	c.failed, c.retry = why, time.Now().Add(retryAfter)
	return why
}
