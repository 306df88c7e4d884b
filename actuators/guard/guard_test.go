package guard

import (
	"context"
	"errors"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/actuators"
)

// plant is outputs that tell of every change of their level.
type plant struct {
	outputs []Output
	changes chan change
}

type change struct {
	output int
	level  float64
}

func newPlant(n int) *plant {
	p := &plant{changes: make(chan change, 100)}
	for i := range n {
		last := 0.0
		p.outputs = append(p.outputs, Output{
			Wiring: "output " + string(rune('a'+i)),
			Output: actuators.NewSimulated(func(level float64) {
				if level != last {
					last = level
					p.changes <- change{i, level}
				}
			}),
		})
	}
	return p
}

// becomes waits for the next change of any output and holds it against what it
// should be.
func (p *plant) becomes(t *testing.T, output int, level float64) {
	t.Helper()
	select {
	case got := <-p.changes:
		if want := (change{output, level}); got != want {
			t.Fatalf("the next change is %v, want %v", got, want)
		}
	case <-time.After(10 * time.Second): // only when it never comes
		t.Fatalf("output %d does not become %v", output, level)
	}
}

func (p *plant) wiring() (wiring []string) {
	for _, o := range p.outputs {
		wiring = append(wiring, o.Wiring)
	}
	return wiring
}

const (
	short = 50 * time.Millisecond // a lease that a test waits for
	long  = time.Hour             // one that never ends here
)

func quiet() *slog.Logger { return slog.New(slog.DiscardHandler) }

// serve runs a guard and gives its socket, and a way to end it.
func (p *plant) serve(t *testing.T, lease time.Duration, path string) (end func() error) {
	t.Helper()
	l, err := Listen(path)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	g := New(Options{Outputs: p.outputs, Log: quiet(), lease: lease})
	go func() { done <- g.Serve(ctx, l) }()
	ended := false
	end = func() error {
		cancel()
		if ended {
			return nil
		}
		ended = true
		return <-done
	}
	t.Cleanup(func() { _ = end() })
	return end
}

// client is one that waits for its answer on a machine that is busy with others.
func client(path string, wiring []string) *Client {
	c := NewClient(path, wiring)
	c.waits = 10 * time.Second
	return c
}

func socket(t *testing.T) string { return filepath.Join(t.TempDir(), "guard") }

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func says(t *testing.T, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Fatalf("no error, want one with %q", words)
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("the error does not say %q: %v", w, err)
		}
	}
}

var on, off = actuators.Command{Level: 1}, actuators.Command{}

// A daemon that hangs or is stopped asks for nothing any more. Its connection
// stays.
func TestWhatNobodyAsksForGoesOff(t *testing.T) {
	p, path := newPlant(2), socket(t)
	p.serve(t, short, path)
	c := client(path, p.wiring())
	must(t, c.Output(1).Set(on))
	p.becomes(t, 1, 1)
	p.becomes(t, 1, 0)
	err := c.Output(1).Set(on) // what was dropped is told, and not driven on
	says(t, err, "output b", "nobody asked for it")
	if c.Output(1).Level() != 0 {
		t.Error("a dropped output is told as on")
	}
	must(t, c.Output(0).Set(on)) // the other one was not dropped
	p.becomes(t, 0, 1)
	must(t, c.Output(1).Set(on))
	p.becomes(t, 1, 1)
}

// As long as somebody asks, the output stays on.
func TestALeaseIsRenewed(t *testing.T) {
	h := held{Output: newPlant(1).outputs[0], lease: Lease}
	now := time.Duration(0)
	for range 100 {
		must(t, h.drive(order{verb: "drive", level: 1}, now))
		now += time.Second
		must(t, h.expire(now, glance))
	}
	now += Lease - time.Second - 1
	must(t, h.expire(now, glance))
	if !h.on() {
		t.Error("off before the lease has ended")
	}
	says(t, h.expire(now+1, glance), "nobody asked for it")
	if h.on() {
		t.Error("on after the lease has ended")
	}
	must(t, h.expire(now+time.Hour, glance)) // told once
}

// A daemon that lives without a word for one output keeps only the others on.
func TestEveryOutputHasItsOwnLease(t *testing.T) {
	p, path := newPlant(2), socket(t)
	p.serve(t, 4*short, path)
	c := client(path, p.wiring())
	must(t, c.Output(0).Set(on))
	p.becomes(t, 0, 1)
	must(t, c.Output(1).Set(on))
	p.becomes(t, 1, 1)
	for {
		must(t, c.Output(1).Set(on))
		select {
		case got := <-p.changes:
			if got != (change{0, 0}) {
				t.Fatalf("changed: %v", got)
			}
			return
		default:
		}
	}
}

// stubborn is an output that can't be switched off while it is told so.
type stubborn struct {
	actuators.Output
	stuck error
}

func (s *stubborn) Safe() error {
	if s.stuck != nil {
		return s.stuck
	}
	return s.Output.Safe()
}

func TestADropThatFailsIsTriedAgain(t *testing.T) {
	inner := &stubborn{Output: newPlant(1).outputs[0].Output, stuck: errors.New("the expander is gone")}
	h := held{Output: Output{Output: inner}, lease: Lease}
	must(t, h.drive(order{level: 1}, 0))
	says(t, h.expire(Lease, glance), "expander is gone")
	must(t, h.expire(Lease+glance-1, glance)) // not in a circle
	says(t, h.expire(Lease+glance, glance), "expander is gone")
	inner.stuck = nil
	says(t, h.expire(Lease+2*glance, glance), "nobody asked for it")
	if h.on() {
		t.Error("still on")
	}
}

// A daemon that was killed: the kernel ends its connection.
func TestAConnectionThatEndsDropsAll(t *testing.T) {
	p, path := newPlant(2), socket(t)
	p.serve(t, long, path)
	c := client(path, p.wiring())
	must(t, c.Output(0).Set(on))
	p.becomes(t, 0, 1)
	must(t, c.Output(1).Set(on))
	p.becomes(t, 1, 1)
	must(t, c.conn.Close())
	p.becomes(t, 0, 0)
	p.becomes(t, 1, 0)
}

func TestTheEndOfTheGuardDropsAll(t *testing.T) {
	p, path := newPlant(1), socket(t)
	end := p.serve(t, long, path)
	c := client(path, p.wiring())
	must(t, c.Output(0).Set(on))
	p.becomes(t, 0, 1)
	must(t, end())
	p.becomes(t, 0, 0)

	says(t, c.Output(0).Set(on), "no guard", "isolator")
	if c.Output(0).Level() != 0 {
		t.Error("told as on, though nobody drives it")
	}
	must(t, c.Output(0).Safe())

	// The next one is found, and begins with all off.
	next := newPlant(1)
	next.serve(t, long, path)
	c.retry = time.Time{}
	must(t, c.Output(0).Set(on))
	next.becomes(t, 0, 1)
}

func TestWithoutAGuardNothingIsDriven(t *testing.T) {
	c := client(socket(t), []string{"heater"})
	says(t, c.Output(0).Set(on), "heater", "no guard", "sunstoker guard")
	says(t, c.Output(0).Set(off), "no guard")
	says(t, c.Look(0), "no guard")
	must(t, c.Output(0).Safe())
	must(t, c.Output(0).Close())
	if err := c.Output(0).Set(on); !errors.Is(err, actuators.ErrClosed) {
		t.Errorf("Set after Close: %v", err)
	}
}

// A guard that is stopped or hangs may still hold the output on.
func TestAGuardThatHangs(t *testing.T) {
	path := socket(t)
	l, err := Listen(path)
	must(t, err)
	defer l.Close()
	c := NewClient(path, []string{"heater"})
	c.outputs[0].level = 1 // as it was told before
	says(t, c.Output(0).Set(off), "does not answer", "isolator")
	says(t, c.Output(0).Safe(), "does not answer")
	if c.Output(0).Level() != 1 {
		t.Error("told as off, which nobody knows")
	}
	before := c.retry
	says(t, c.Output(0).Set(off), "does not answer")
	if c.retry != before {
		t.Error("a hung guard is asked again at once, which would slow the tick down")
	}
}

func TestASecondProgramIsRefusedByName(t *testing.T) {
	p, path := newPlant(1), socket(t)
	p.serve(t, long, path)
	first, second := client(path, p.wiring()), client(path, p.wiring())
	must(t, first.Output(0).Set(on))
	p.becomes(t, 0, 1)
	says(t, second.Output(0).Set(on), "the guard serves", "process", "stop it first")
	must(t, first.Output(0).Set(off))
	p.becomes(t, 0, 0)
}

// A daemon that was stopped has lost its place when another one comes.
func TestASilentProgramMakesRoom(t *testing.T) {
	p, path := newPlant(1), socket(t)
	p.serve(t, short, path)
	first, second := client(path, p.wiring()), client(path, p.wiring())
	must(t, first.Output(0).Set(on))
	p.becomes(t, 0, 1)
	p.becomes(t, 0, 0)
	must(t, second.Output(0).Set(on))
	p.becomes(t, 0, 1)
}

func TestAnotherWiringEndsTheGuard(t *testing.T) {
	p, path := newPlant(2), socket(t)
	end := p.serve(t, long, path)
	swapped := client(path, []string{p.outputs[1].Wiring, p.outputs[0].Wiring})
	says(t, swapped.Output(0).Set(on), "refuses", "site file has changed")
	if err := end(); !errors.Is(err, ErrOtherWiring) {
		t.Errorf("the guard ended with %v", err)
	}
	if len(p.changes) > 0 {
		t.Errorf("something was driven: %v", <-p.changes)
	}
}

// A mistake in one driver ends the guard with everything off; its service
// manager starts it again.
func TestAPanicEndsTheGuardWithAllOff(t *testing.T) {
	p, path := newPlant(2), socket(t)
	p.outputs[1].Output = panicky{p.outputs[1].Output}
	end := p.serve(t, long, path)
	c := client(path, p.wiring())
	must(t, c.Output(0).Set(on))
	p.becomes(t, 0, 1)
	says(t, c.Output(1).Set(on), "no guard")
	p.becomes(t, 0, 0)
	says(t, end(), "panicked", "of straw")
}

type panicky struct{ actuators.Output }

func (panicky) Set(actuators.Command) error { panic("a driver of straw") }

func TestLinesAreReadBackByTheGuard(t *testing.T) {
	path := socket(t)
	l, err := Listen(path)
	must(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	g := New(Options{Log: quiet(), Banks: []func() error{
		func() error { return nil },
		func() error { return errors.New("another hand on the line") },
	}})
	go func() { done <- g.Serve(ctx, l) }()
	c := client(path, nil)
	must(t, c.Look(0))
	says(t, c.Look(1), "another hand")
	says(t, c.Look(2), "different site files")
	cancel()
	must(t, <-done)
}

// Whatever comes over the socket, the guard lives and answers.
func TestWordsThatNobodyUnderstands(t *testing.T) {
	p, path := newPlant(1), socket(t)
	p.serve(t, long, path)
	conn, err := net.Dial("unixpacket", path)
	must(t, err)
	defer conn.Close()
	buffer := make([]byte, mostMessage)
	for _, text := range []string{
		"drive 0 1", // without a greeting
		"hello", "drive", "drive 0", "drive x 1", "drive 0 full", "drive 0 1 soon", "drive 0 1 urgent now",
		"off", "off 0 1", "look", "make tea", " ", "\x00",
		strings.Repeat("drive 0 1 ", 1000),
	} {
		_, err := conn.Write([]byte(text))
		must(t, err)
		n, err := conn.Read(buffer)
		must(t, err)
		level, told, err := parseReply(string(buffer[:n]))
		if must(t, err); level != 0 || told == nil {
			t.Errorf("%.20q is answered with %q", text, buffer[:n])
		}
	}
	if len(p.changes) > 0 {
		t.Errorf("something was driven: %v", <-p.changes)
	}
}

func TestOrdersOutsideTheWiring(t *testing.T) {
	p := newPlant(1)
	g := New(Options{Outputs: p.outputs, Log: quiet()})
	_, fatal := g.answer(hello(p.wiring()))
	must(t, fatal)
	for _, text := range []string{"drive 1 1", "drive -1 1", "off 7", "look 0", "look -1"} {
		answer, fatal := g.answer(text)
		if must(t, fatal); !strings.Contains(answer, "no such output") {
			t.Errorf("%q is answered with %q", text, answer)
		}
	}
	for _, text := range []string{"drive 0 NaN", "drive 0 2", "drive 0 -1", "drive 0 Inf"} {
		if answer, _ := g.answer(text); !strings.HasPrefix(answer, "0 ") || !strings.Contains(answer, "not between 0") {
			t.Errorf("%q is answered with %q", text, answer)
		}
	}
}

func TestTheSocketBelongsToItsUser(t *testing.T) {
	path := socket(t)
	l, err := Listen(path)
	must(t, err)
	info, err := os.Stat(path)
	must(t, err)
	if info.Mode().Perm() != 0o600 {
		t.Errorf("the socket's rights are %v", info.Mode().Perm())
	}
	l.SetUnlinkOnClose(false) // as a guard that was killed leaves it
	must(t, l.Close())
	l, err = Listen(path)
	must(t, err)
	must(t, l.Close())
	must(t, os.WriteFile(path, []byte("a file"), 0o600))
	_, err = Listen(path)
	says(t, err, "no socket")
	_, err = Listen(filepath.Join(path, "guard"))
	says(t, err, "folder")
}

func FuzzOrder(f *testing.F) {
	for _, text := range []string{"drive 1 0.8 urgent", "off 0", "look 2", "drive 0 NaN", "drive 00 1e-3"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		o, err := parseOrder(text)
		if err != nil {
			return
		}
		again, err := parseOrder(o.String())
		if must(t, err); again != o && o.level == o.level {
			t.Errorf("%q becomes %+v, then %+v", text, o, again)
		}
	})
}

// A guard that comes late to a message, since the whole board stood still, does
// not renew a lease that has ended.
func TestAMessageAfterTheLeaseRenewsNothing(t *testing.T) {
	p, path := newPlant(1), socket(t)
	l, err := Listen(path)
	must(t, err)
	defer l.Close()
	conn, err := net.Dial("unixpacket", path)
	must(t, err)
	defer conn.Close()
	g := New(Options{Outputs: p.outputs, Log: quiet()})
	g.take(l, long)
	buffer := make([]byte, mostMessage)
	for _, message := range []string{hello(p.wiring()), "drive 0 1", "drive 0 1"} {
		_, err := conn.Write([]byte(message))
		must(t, err)
		must(t, g.serve(l, buffer))
		_, err = conn.Read(buffer)
		must(t, err)
		g.held[0].until = g.now() // while it stands still
	}
	p.becomes(t, 0, 1)
	p.becomes(t, 0, 0)
	if g.held[0].on() {
		t.Error("on, though its lease had ended")
	}
}
