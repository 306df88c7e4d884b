package actuators

import (
	"errors"
	"runtime"
	"slices"
	"sync"
	"testing"
	"testing/synctest"
	"time"
)

// edges is a line that notes when it changed.
type edges struct {
	Output
	start time.Time

	mu    sync.Mutex
	times []time.Duration
	fail  error
	panic bool
}

func (e *edges) seen() []time.Duration {
	e.mu.Lock()
	defer e.mu.Unlock()
	return slices.Clone(e.times)
}

func (e *edges) harm(fail error, panic bool) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.fail, e.panic = fail, panic
}

func newEdges() *edges {
	e := &edges{start: time.Now()}
	last := 0.0
	e.Output = NewSimulated(func(level float64) {
		if level != last {
			last = level
			e.mu.Lock()
			defer e.mu.Unlock()
			e.times = append(e.times, time.Since(e.start))
		}
	})
	return e
}

func (e *edges) Set(c Command) error {
	e.mu.Lock()
	fail, breaks := e.fail, e.panic
	e.mu.Unlock()
	if breaks {
		panic("a line of straw")
	}
	if fail != nil {
		return fail
	}
	return e.Output.Set(c)
}

// inPulses runs a test with a relay of 10 Hz in time that costs none.
func inPulses(t *testing.T, do func(*testing.T, *Pulsed, *edges)) {
	synctest.Test(t, func(t *testing.T) {
		line := newEdges()
		p := Pulse(line, PulseOptions{Name: "backup_heater", Hertz: 10})
		do(t, p, line)
		must(t, p.Close())
	})
}

func TestPulsesComeEvenly(t *testing.T) {
	inPulses(t, func(t *testing.T, p *Pulsed, line *edges) {
		for range 5 {
			must(t, p.Set(Command{Level: 1}))
			time.Sleep(time.Second)
		}
		if len(line.seen()) < 99 || len(line.seen()) > 101 {
			t.Errorf("%d edges in 5 s", len(line.seen()))
		}
		for i, at := range line.seen() {
			if want := time.Duration(i) * 50 * time.Millisecond; at != want {
				t.Fatalf("edge %d at %v, want %v", i, at, want)
			}
		}
		must(t, p.Set(Command{}))
		before := len(line.seen())
		time.Sleep(time.Minute)
		if len(line.seen()) != before || line.Level() != 0 || p.Level() != 0 {
			t.Error("not off with the order for off")
		}
	})
}

// A tick that hangs asks for nothing: the pulses end by themselves.
func TestPulsesEndWhenNobodyAsks(t *testing.T) {
	inPulses(t, func(t *testing.T, p *Pulsed, line *edges) {
		must(t, p.Set(Command{Level: 1}))
		time.Sleep(time.Second)
		must(t, p.Set(Command{Level: 1}))
		time.Sleep(time.Minute)
		last := line.seen()[len(line.seen())-1]
		if last > time.Second+KeepFor || last < time.Second+KeepFor-100*time.Millisecond {
			t.Errorf("the last edge comes at %v", last)
		}
		if p.Level() != 0 || line.Level() != 0 {
			t.Error("told as on, or the line is high")
		}
		edges := len(line.seen())
		says(t, p.Set(Command{Level: 1}), "backup_heater", "nobody asked for them")
		time.Sleep(time.Second)
		if len(line.seen()) != edges {
			t.Error("the wish that comes with the news is carried out")
		}
		must(t, p.Set(Command{Level: 1}))
		time.Sleep(time.Second)
		if len(line.seen()) == edges {
			t.Error("no pulses any more")
		}
	})
}

// A line that can't be driven, or whose driver is wrong, ends the pulses; the
// next Set says so.
func TestPulsesEndWithTheirLine(t *testing.T) {
	for name, fail := range map[string]error{"expander is gone": errors.New("expander is gone"), "line of straw": nil} {
		inPulses(t, func(t *testing.T, p *Pulsed, line *edges) {
			must(t, p.Set(Command{Level: 1}))
			time.Sleep(500 * time.Millisecond)
			line.harm(fail, fail == nil)
			time.Sleep(time.Second)
			if p.Level() != 0 {
				t.Error("told as on")
			}
			says(t, p.Set(Command{Level: 1}), name)
			line.harm(nil, false)
			must(t, p.Set(Command{Level: 1}))
		})
	}
}

// No pulse comes after the call that ended them has returned.
func TestNoPulseAfterTheEnd(t *testing.T) {
	for name, end := range map[string]func(*Pulsed) error{"Safe": (*Pulsed).Safe, "Close": (*Pulsed).Close} {
		t.Run(name, func(t *testing.T) {
			line := newEdges()
			p := Pulse(line, PulseOptions{Hertz: 1e6})
			for range 100 {
				must(t, p.Set(Command{Level: 1}))
				must(t, end(p))
				before := len(line.seen())
				if line.Level() != 0 {
					t.Fatal("high")
				}
				if name == "Close" {
					return
				}
				runtime.Gosched()
				if len(line.seen()) != before {
					t.Fatal("a pulse came after the end")
				}
			}
		})
	}
}
