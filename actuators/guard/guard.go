package guard

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"strings"
	"time"

	"sunstoker/actuators"
)

// Options are what a guard works with.
type Options struct {
	Outputs []Output
	Banks   []func() error // read the lines of a bank back; may be empty
	Log     *slog.Logger
	// Round is called each time the guard has looked after its outputs, several
	// times a second: it feeds the service manager's watchdog. May be nil.
	Round func()

	lease time.Duration // Lease when 0
}

const (
	glance       = 100 * time.Millisecond // at least so often the guard looks around
	noticeOther  = time.Millisecond       // to find somebody who waits at the socket
	mostRefusing = 20 * time.Millisecond  // of a second program
	mostWriting  = 100 * time.Millisecond // for an answer
)

// ErrOtherWiring ends a guard whose site file is no longer the daemon's.
var ErrOtherWiring = errors.New("the daemon's outputs are not those of this guard, so the site file has changed: the guard has to be started anew")

// Guard holds outputs for one program at a time.
type Guard struct {
	options  Options
	held     []held
	greeting string // that fits
	start    time.Time

	conn    *net.UnixConn // nil while nobody is there
	peer    string        // who it is
	greeted bool
	heard   time.Duration // the last word of it
}

// New makes a guard of outputs that are off.
func New(o Options) *Guard {
	if o.lease == 0 {
		o.lease = Lease
	}
	g := &Guard{options: o, start: time.Now()}
	var wiring []string
	for _, out := range o.Outputs {
		g.held = append(g.held, held{Output: out, lease: o.lease})
		wiring = append(wiring, out.Wiring)
	}
	g.greeting = hello(wiring)
	return g
}

// Serve answers whoever comes to the socket until the context ends; then all
// outputs are driven off and released, as on every other way out.
func (g *Guard) Serve(ctx context.Context, l *net.UnixListener) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the guard panicked: %v", p)
		}
		err = errors.Join(err, g.leave(), l.Close())
	}()
	buffer := make([]byte, mostMessage)
	for ctx.Err() == nil {
		if g.conn == nil {
			g.take(l, glance)
		} else if err := g.serve(l, buffer); err != nil {
			return err
		}
		g.expire()
		if g.options.Round != nil {
			g.options.Round()
		}
	}
	return nil
}

func (g *Guard) now() time.Duration { return time.Since(g.start) } // monotonic

// take waits for somebody at the socket.
func (g *Guard) take(l *net.UnixListener, patience time.Duration) {
	_ = l.SetDeadline(time.Now().Add(patience)) // fails on a closed socket alone, and so does what follows
	conn, err := l.AcceptUnix()
	if err == nil {
		g.begin(conn)
		return
	}
	if !errors.Is(err, os.ErrDeadlineExceeded) {
		g.options.Log.Error("the guard's socket fails", "error", err)
		time.Sleep(glance) // no file descriptor left, say: the outputs are off meanwhile
	}
}

func (g *Guard) begin(conn *net.UnixConn) {
	g.conn, g.peer, g.greeted, g.heard = conn, peerOf(conn), false, g.now()
	g.options.Log.Info("a program has come to the guard", "program", g.peer)
}

// serve takes one message, or notices that there is none.
func (g *Guard) serve(l *net.UnixListener, buffer []byte) error {
	_ = g.conn.SetReadDeadline(time.Now().Add(g.patience())) // as in take
	n, err := g.conn.Read(buffer)
	g.expire() // before the message: a lease that has ended is not renewed
	switch {
	case errors.Is(err, os.ErrDeadlineExceeded):
		g.lookForOthers(l)
		return nil
	case err != nil || n == 0: // an empty message is how the end looks like
		g.end("it has gone")
		return nil
	}
	g.heard = g.now()
	answer, fatal := g.answer(string(buffer[:n]))
	_ = g.conn.SetWriteDeadline(time.Now().Add(mostWriting))
	if _, err := g.conn.Write([]byte(answer)); err != nil {
		g.end("it does not listen")
	}
	return fatal
}

// patience is the time to the next thing that has to be done without a message.
func (g *Guard) patience() time.Duration {
	now := g.now()
	least := glance
	for i := range g.held {
		if h := &g.held[i]; h.on() {
			least = min(least, h.until-now)
		}
	}
	return max(least, noticeOther)
}

// answer carries out a message. A fatal error ends the guard.
func (g *Guard) answer(text string) (answer string, fatal error) {
	if strings.HasPrefix(text, "hello ") {
		if text != g.greeting {
			return reply(0, ErrOtherWiring), ErrOtherWiring
		}
		g.greeted = true
		for i := range g.held {
			g.held[i].dropped = false
		}
		// What can't be switched off is tried again, and said when it is asked for;
		// it keeps no other output from work.
		if err := g.offAll(); err != nil {
			g.options.Log.Error("an output can't be switched off", "error", err)
		}
		return reply(0, nil), nil
	}
	o, err := parseOrder(text)
	if err == nil && !g.greeted {
		err = errWords
	}
	if err != nil {
		return reply(0, err), nil
	}
	return g.carryOut(o), nil
}

func (g *Guard) carryOut(o order) string {
	if o.verb == "look" {
		if o.index < 0 || o.index >= len(g.options.Banks) {
			return reply(0, errNoSuch)
		}
		return reply(0, g.options.Banks[o.index]())
	}
	if o.index < 0 || o.index >= len(g.held) {
		return reply(0, errNoSuch)
	}
	h := &g.held[o.index]
	var err error
	if o.verb == "off" {
		err = h.off()
	} else {
		err = h.drive(o, g.now())
	}
	return reply(h.Output.Output.Level(), err)
}

// expire drops every output whose lease has ended.
func (g *Guard) expire() {
	now := g.now()
	for i := range g.held {
		if err := g.held[i].expire(now, glance); err != nil {
			g.options.Log.Error("an output is dropped", "program", g.peer, "silent for", now-g.heard, "error", err)
		}
	}
}

// lookForOthers answers a second program: one that has been silent makes room.
func (g *Guard) lookForOthers(l *net.UnixListener) {
	_ = l.SetDeadline(time.Now().Add(noticeOther)) // as in take
	other, err := l.AcceptUnix()
	if err != nil {
		return
	}
	if silent := g.now() - g.heard; silent > g.options.lease {
		g.end(fmt.Sprintf("it has been silent for %v, and %s wants its place", silent.Round(time.Millisecond), peerOf(other)))
		g.begin(other)
		return
	}
	g.options.Log.Warn("a second program is refused", "program", peerOf(other), "served", g.peer)
	// Its greeting is read first, or the kernel would throw the answer away.
	// Whether it arrives is its own matter.
	_ = other.SetDeadline(time.Now().Add(mostRefusing))
	_, _ = other.Read(make([]byte, mostMessage))
	_, _ = other.Write([]byte(reply(0, fmt.Errorf("the guard serves %s: stop it first", g.peer))))
	_ = other.Close()
}

// end drives all outputs off and lets go of the program.
func (g *Guard) end(why string) {
	var on []string
	for i := range g.held {
		if g.held[i].on() {
			on = append(on, g.held[i].Wiring)
		}
	}
	err := g.offAll()
	_ = g.conn.Close() // nothing to be done about it
	g.conn = nil
	switch {
	case err != nil:
		g.options.Log.Error("a program has left the guard, and not every output could be driven off", "program", g.peer, "because", why, "on", on, "error", err)
	case len(on) > 0:
		g.options.Log.Warn("a program has left the guard with outputs on; they are driven off", "program", g.peer, "because", why, "on", on)
	default:
		g.options.Log.Info("a program has left the guard", "program", g.peer, "because", why)
	}
}

// offAll drives what is on off; what could not be driven is tried again at the
// end of its lease, which is now.
func (g *Guard) offAll() error {
	var errs []error
	for i := range g.held {
		h := &g.held[i]
		if err := h.off(); err != nil {
			h.until = g.now()
			errs = append(errs, err)
		}
	}
	return errors.Join(errs...)
}

func (g *Guard) leave() error {
	if g.conn != nil {
		_ = g.conn.Close() // nothing to be done about it
	}
	var all actuators.All
	for _, h := range g.held {
		all = append(all, h.Output.Output)
	}
	return all.Close()
}
