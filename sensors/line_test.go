package sensors

import (
	"context"
	"errors"
	"io/fs"
	"math"
	"strings"
	"testing"
	"time"

	"sunstoker/sensors/sensorstest"
)

var _ Bus = (*Line)(nil)

// swiftClock is a clock for one goroutine that never has to wait.
type swiftClock struct{ now time.Duration }

func (c *swiftClock) Now() time.Duration { return c.now }

func (c *swiftClock) Wait(ctx context.Context, until time.Duration) error {
	c.now = max(c.now, until)
	return ctx.Err()
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, within)
	}
}

// scripted is a driver that does what a test says.
type scripted struct {
	name   string
	ask    func(ctx context.Context, clock Clock) (Answer, error)
	closed int
}

func (s *scripted) Name() string { return s.name }
func (s *scripted) Close() error { s.closed++; return nil }

func (s *scripted) Ask(ctx context.Context, clock Clock) (Answer, error) { return s.ask(ctx, clock) }

func fixed(name string, answer Answer, err error) *scripted {
	return &scripted{name: name, ask: func(context.Context, Clock) (Answer, error) { return answer, err }}
}

type lineRig struct {
	*Line
	t     *testing.T
	clock *sensorstest.Clock
	stop  context.CancelFunc
	ended chan error
}

func newLineRig(t *testing.T, drivers ...Driver) *lineRig {
	t.Helper()
	clock := &sensorstest.Clock{}
	line, err := NewLine(clock, LineOptions{Name: "test line"}, drivers...)
	if err != nil {
		t.Fatal(err)
	}
	r := &lineRig{Line: line, t: t, clock: clock, ended: make(chan error, 1)}
	var ctx context.Context
	ctx, r.stop = context.WithCancel(t.Context())
	go func() { r.ended <- r.Run(ctx) }()
	t.Cleanup(r.stop)
	return r
}

// passed waits until the reader waits.
func (r *lineRig) passed() {
	r.t.Helper()
	if _, err := r.clock.AwaitWait(r.t.Context()); err != nil {
		r.t.Fatal(err)
	}
}

func (r *lineRig) nextPass() {
	r.t.Helper()
	r.clock.Advance(defaultPeriod)
	r.passed()
}

func TestALineAsksEveryPoint(t *testing.T) {
	good := fixed("one", Answer{Value: 42, Raw: "2a"}, nil)
	bad := fixed("two", Answer{}, faultf(Broken, "wire open"))
	r := newLineRig(t, good, bad)
	r.passed()
	if s := r.Probe(0).Latest(); s.Value != 42 || s.Fault != nil || s.Raw != "2a" || s.Repeats != 0 {
		t.Errorf("%+v", s)
	}
	r.nextPass()
	if s := r.Probe(0).Latest(); s.Repeats != 1 || s.Taken != defaultPeriod {
		t.Errorf("%+v", s)
	}
	s := r.Probe(1).Latest()
	var fault *Fault
	if !errors.As(s.Fault, &fault) || fault.Kind != Broken || fault.Since != 0 || !math.IsNaN(s.Value) || s.Taken != defaultPeriod {
		t.Errorf("%+v", s)
	}
	r.stop()
	<-r.ended
	r.reader <- struct{}{} // free once the reader has let go
	if good.closed != 1 || bad.closed != 1 {
		t.Errorf("closed %d and %d times", good.closed, bad.closed)
	}
}

func TestErrorsOfDriversInWords(t *testing.T) {
	for name, c := range map[string]struct {
		err  error
		want FaultKind
		says string
	}{
		"no right":        {&fs.PathError{Op: "open", Path: "/dev/spidev0.0", Err: fs.ErrPermission}, Denied, "/dev/spidev0.0"},
		"no device":       {&fs.PathError{Op: "open", Path: "/dev/spidev0.0", Err: fs.ErrNotExist}, BusAbsent, "the probe of straw"},
		"anything":        {errors.New("input or output error"), ReadFailed, "the probe of straw"},
		"not a number":    {nil, Malformed, "NaN"},
		"a fault is kept": {faultf(Shorted, "a nail"), Shorted, "a nail"},
	} {
		p := &point{latest: newLatest(), driver: fixed("the probe of straw", Answer{}, nil)}
		s := p.judge(Answer{Value: math.NaN()}, c.err, 7)
		if !errors.Is(s.Fault, c.want) || !strings.Contains(s.Fault.Error(), c.says) {
			t.Errorf("%s: %v", name, s.Fault)
		}
	}
}

func TestAPanicOverOnePointCostsItAlone(t *testing.T) {
	mad := &scripted{name: "mad", ask: func(context.Context, Clock) (Answer, error) { panic("straw") }}
	r := newLineRig(t, mad, fixed("sane", Answer{Value: 1}, nil))
	r.passed()
	r.nextPass()
	s := r.Probe(0).Latest()
	var fault *Fault
	if !errors.As(s.Fault, &fault) || fault.Kind != ReaderFailed || fault.Since != 0 || !strings.Contains(fault.Detail, "line_test.go:") {
		t.Errorf("%v", s.Fault)
	}
	if s := r.Probe(1).Latest(); s.Value != 1 || s.Taken != defaultPeriod {
		t.Errorf("the other point: %+v", s)
	}
}

// A device that hangs holds its line up, is named within 5 s, and Run still ends.
func TestAStuckLineIsNamed(t *testing.T) {
	entered, gate := make(chan struct{}), make(chan struct{})
	hung := &scripted{name: "the probe at /dev/spidev0.0", ask: func(context.Context, Clock) (Answer, error) {
		close(entered)
		<-gate
		return Answer{Value: 1}, nil
	}}
	r := newLineRig(t, hung)
	<-entered
	r.clock.Advance(DefaultStuckAfter)
	if _, what, stuck := r.Stuck(); stuck {
		t.Errorf("stuck on %q at the limit", what)
	}
	r.clock.Advance(1)
	since, what, stuck := r.Stuck()
	if !stuck || since != 0 || !strings.Contains(what, "/dev/spidev0.0") || r.clock.Now() > 5*time.Second {
		t.Errorf("stuck %v since %v on %q at %v", stuck, since, what, r.clock.Now())
	}
	r.stop()
	if err := <-r.ended; !errors.Is(err, context.Canceled) {
		t.Errorf("Run ended with %v", err)
	}
	close(gate)
	r.reader <- struct{}{}
	if !r.Probe(0).Latest().Never {
		t.Error("a sample appeared after Run had returned")
	}
}

// pacedDriver asks for a period of its own.
type pacedDriver struct {
	*scripted
	period time.Duration
}

func (d pacedDriver) Period() time.Duration { return d.period }

func TestALineKeepsTheLongestPeriodAskedFor(t *testing.T) {
	plain := func() *scripted { return fixed("plain", Answer{Value: 1}, nil) }
	for want, drivers := range map[time.Duration][]Driver{
		defaultPeriod:   {plain()},
		time.Second:     {plain(), pacedDriver{plain(), time.Second}},
		5 * time.Second: {pacedDriver{plain(), 5 * time.Second}, plain(), pacedDriver{plain(), time.Second}},
	} {
		r := newLineRig(t, drivers...)
		next, err := r.clock.AwaitWait(t.Context())
		if err != nil || next != want {
			t.Errorf("the next pass is at %v, %v, want %v", next, err, want)
		}
	}
	given, err := NewLine(&sensorstest.Clock{}, LineOptions{Name: "given", Period: time.Minute}, pacedDriver{plain(), time.Second})
	if err != nil || given.period != time.Minute {
		t.Errorf("a period that is given became %v, %v", given.period, err)
	}
}
