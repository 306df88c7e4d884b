package sensors

import (
	"encoding/json"
	"errors"
	"os"
	"runtime"
	"strings"
	"testing"
	"time"
)

var errEnd = errors.New("the end of the script")

// scriptedLine is a contact that changes at the instants of a script, in the
// time of a swift clock; it fails when the script is over.
type scriptedLine struct {
	clock   *swiftClock
	changes []time.Duration // it closes at the first, opens at the second, ...
	lost    bool            // edges are not told; only the level shows
	closed  bool
	ended   bool
}

func (s *scriptedLine) Wait(atMost time.Duration) (changed, closed bool, err error) {
	until := s.clock.now + atMost
	if len(s.changes) == 0 {
		s.clock.now = until
		if s.ended {
			return false, false, errEnd
		}
		s.ended = true
		return false, false, nil
	}
	if s.changes[0] > until {
		s.clock.now = until
		return false, false, nil
	}
	s.clock.now = max(s.clock.now, s.changes[0])
	s.changes, s.closed = s.changes[1:], !s.closed
	if s.lost {
		return false, false, nil
	}
	return true, s.closed, nil
}

func (s *scriptedLine) Closed() (bool, error) { return s.closed, nil }
func (s *scriptedLine) Close() error          { return nil }

// counted gives what a listener makes of a script, in ms.
func counted(t *testing.T, settle time.Duration, lost bool, ms ...float64) tally {
	t.Helper()
	clock := &swiftClock{}
	line := &scriptedLine{clock: clock, lost: lost}
	for _, at := range ms {
		line.changes = append(line.changes, time.Duration(at*float64(time.Millisecond)))
	}
	l := &listener{}
	l.listen(line, false, clock, settle)
	if !errors.Is(l.err, errEnd) {
		t.Fatal(l.err)
	}
	return l.tally
}

func TestBouncesAndSpikesAreNoPulses(t *testing.T) {
	const settle = 10 * time.Millisecond
	for name, c := range map[string]struct {
		count  uint64
		last   time.Duration
		closed bool
		ms     []float64
	}{
		"one pulse":          {1, 100 * time.Millisecond, false, []float64{100, 130}},
		"bounces as closing": {1, 105 * time.Millisecond, false, []float64{100, 101, 102, 104, 105, 140}},
		"bounces as opening": {1, 100 * time.Millisecond, false, []float64{100, 140, 141, 143}},
		"a spike":            {0, 0, false, []float64{100, 103}},
		"spikes":             {0, 0, false, []float64{100, 100.1, 150, 150.2, 400, 409}},
		"a dip while closed": {1, 100 * time.Millisecond, false, []float64{100, 150, 152, 200}},
		"two pulses":         {2, 300 * time.Millisecond, false, []float64{100, 130, 300, 330}},
		"still closed":       {1, 100 * time.Millisecond, true, []float64{100}},
	} {
		for _, lost := range []bool{false, true} {
			got := counted(t, settle, lost, c.ms...)
			if got.count != c.count || got.last != c.last || got.closed != c.closed {
				t.Errorf("%s, edges lost %v: %+v", name, lost, got)
			}
		}
	}
}

// An S0 meter holds its output for 30 ms at least, on and off (EN 62053-31), so
// 16 pulses a second are the most.
func TestTheFastestMeter(t *testing.T) {
	var ms []float64
	for i := range 200 {
		ms = append(ms, float64(30*(i+1)))
	}
	if got := counted(t, 10*time.Millisecond, false, ms...); got.count != 100 {
		t.Errorf("%d pulses of 100", got.count)
	}
}

// TestPulsesAsFigures: the worked cases of testdata/s0_pulse_output.json.
func TestPulsesAsFigures(t *testing.T) {
	text, err := os.ReadFile("testdata/s0_pulse_output.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Cases []map[string]float64 `json:"cases"`
	}
	if err := json.Unmarshal(text, &file); err != nil || len(file.Cases) < 3 {
		t.Fatalf("%d cases, %v", len(file.Cases), err)
	}
	o := ContactOptions{Line: "a line", Settle: time.Millisecond, Open: func() (EdgeLine, error) { return nil, errEnd }}
	for _, c := range file.Cases {
		gap := time.Duration(c["seconds_between_pulses"] * float64(time.Second))
		var m *PulseMeter
		want := c["litre_per_minute"]
		if watt, electric := c["watt"]; electric {
			want = watt / 230
			m, err = NewElectricityMeter(o, c["pulses_per_kWh"], 230)
		} else {
			m, err = NewFlowMeter(o, c["litres_per_pulse"])
		}
		if err != nil {
			t.Fatal(err)
		}
		var r pulseRate
		r.update(tally{count: 1, last: time.Second}, time.Second)
		near(t, "value", r.update(tally{count: 2, last: time.Second + gap}, time.Second+gap)*m.factor, want, 1e-9)
	}
}

func TestARateThatEnds(t *testing.T) {
	var r pulseRate
	near(t, "before any pulse", r.update(tally{}, time.Hour), 0, 0)
	near(t, "after one pulse", r.update(tally{count: 1, last: 10 * time.Second}, 11*time.Second), 0, 0)
	near(t, "after five more", r.update(tally{count: 6, last: 15 * time.Second}, 15*time.Second), 1, 1e-12)
	near(t, "within a gap", r.update(tally{count: 6, last: 15 * time.Second}, 16*time.Second), 1, 1e-12)
	near(t, "10 s without", r.update(tally{count: 6, last: 15 * time.Second}, 25*time.Second), 0.1, 1e-12)
	near(t, "long without", r.update(tally{count: 6, last: 15 * time.Second}, 15*time.Second+longestGap), 0, 0)
	near(t, "the first after long", r.update(tally{count: 7, last: time.Hour}, time.Hour), 0, 0)
	near(t, "and the next", r.update(tally{count: 8, last: time.Hour + 2*time.Second}, time.Hour+2*time.Second), 0.5, 1e-12)
}

// gate is a line that tests hold in their hand.
type gate struct {
	changes chan bool // closed
	fail    chan error
	let     chan struct{} // closed when the line is let go of
	held    bool          // closed as it is opened
}

func newGate() *gate {
	return &gate{changes: make(chan bool), fail: make(chan error, 1), let: make(chan struct{})}
}

func (g *gate) Wait(time.Duration) (changed, closed bool, err error) {
	select {
	case closed, more := <-g.changes:
		if !more {
			return false, false, nil
		}
		g.held = closed
		return true, closed, nil
	case err := <-g.fail:
		return false, false, err
	}
}

func (g *gate) Closed() (bool, error) { return g.held, nil }
func (g *gate) Close() error          { close(g.let); return nil }

func TestAButton(t *testing.T) {
	lines := []*gate{newGate(), newGate()}
	opened := 0
	b, err := NewButton(ContactOptions{Line: "GPIO22", Settle: time.Millisecond, Open: func() (EdgeLine, error) {
		opened++
		return lines[opened-1], nil
	}})
	if err != nil {
		t.Fatal(err)
	}
	clock := &swiftClock{}
	ask := func(when string, want float64) {
		t.Helper()
		if answer, err := b.Ask(t.Context(), clock); err != nil || answer.Value != want {
			t.Errorf("%s: %v, %v", when, answer, err)
		}
	}
	ask("at rest", 0)
	l := b.current
	l.mu.Lock() // as the listener does for a press that is over again
	l.tally.count++
	l.mu.Unlock()
	ask("pressed and let go between two looks", 1)
	ask("at rest again", 0)
	l.mu.Lock()
	l.tally.closed = true
	l.mu.Unlock()
	ask("held", 1)
	ask("still held", 1)

	lines[0].fail <- errors.New("no such device")
	<-lines[0].let
	for l.failed() == nil { // the line is let go of just before its error is noted
		runtime.Gosched()
	}
	if _, err := b.Ask(t.Context(), clock); err == nil || !strings.Contains(err.Error(), "no such device") {
		t.Errorf("a line that failed: %v", err)
	}
	lines[1].held = true
	ask("opened anew while held", 1)
	if opened != 2 {
		t.Errorf("opened %d times", opened)
	}
	if err := b.Close(); err != nil {
		t.Error(err)
	}
	close(lines[1].changes)
	<-lines[1].let
}

func (l *listener) failed() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.err
}

func TestContactOptionsAreChecked(t *testing.T) {
	none := func() (EdgeLine, error) { return nil, errEnd }
	for _, o := range []ContactOptions{{Line: "x", Open: none}, {Line: "x", Settle: -1, Open: none}, {Line: "x", Settle: time.Minute, Open: none}, {Line: "x", Settle: 1}} {
		if _, err := NewButton(o); err == nil {
			t.Errorf("%+v is taken", o)
		}
	}
	for _, litres := range []float64{0, -1} {
		if _, err := NewFlowMeter(ContactOptions{Line: "x", Settle: 1, Open: none}, litres); err == nil {
			t.Errorf("%g litres a pulse is taken", litres)
		}
	}
	m, err := NewFlowMeter(ContactOptions{Line: "x", Settle: 1, Open: none}, 1)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := m.Ask(t.Context(), &swiftClock{}); !errors.Is(err, errEnd) {
		t.Errorf("a line that does not open: %v", err)
	}
}

// FuzzContact lets a contact chatter as it will: what counts are the times that it
// came to rest closed after it had been at rest open, by a plain look at the gaps.
func FuzzContact(f *testing.F) {
	f.Add([]byte{100, 30, 70, 1, 1, 2, 40})
	f.Add([]byte{10, 10, 11, 11, 0, 0, 255})
	f.Fuzz(func(t *testing.T, gaps []byte) {
		const settle = 10 // ms
		var ms []float64
		now, closed, rested := 0.0, false, false
		want, began, last := uint64(0), 0.0, 0.0
		for i, gap := range gaps {
			now += float64(gap)
			ms = append(ms, now)
			if closed == rested {
				began = now
			}
			closed = !closed
			if i+1 < len(gaps) && gaps[i+1] <= settle || closed == rested {
				continue
			}
			if rested = closed; rested {
				want, last = want+1, began
			}
		}
		got := counted(t, settle*time.Millisecond, false, ms...)
		if got.count != want || got.closed != rested || want > 0 && got.last != time.Duration(last*float64(time.Millisecond)) {
			t.Errorf("gaps of %v ms: %+v, want %d, the last at %v ms, closed %v", gaps, got, want, last, rested)
		}
	})
}
