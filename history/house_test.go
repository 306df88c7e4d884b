package history

import (
	"context"
	"log/slog"
	"math"
	"strings"
	"sync"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// The houses of the tests are invented.

// noon is when most tests begin.
var noon = time.Date(2026, 6, 21, 12, 0, 0, 0, time.UTC)

// house makes ticks of a house with one system.
type house struct {
	t    testing.TB
	h    *History
	tick tick.Tick // the next one begins with what stands here
	log  *logText
}

func newHouse(t testing.TB, folder string) *house {
	log := &logText{}
	h := &house{t: t, log: log, h: New(Options{Folder: folder, MinutesFor: UsualMinutesFor, AllFor: UsualAllFor, Log: slog.New(slog.NewTextHandler(log, nil))})}
	plan := &control.Plan{
		Systems: []control.System{{Name: "roof", HeaterW: 2000}},
		Probes: []control.Probe{
			{System: 0, Place: control.Collector}, {System: 0, Place: control.TankTop}, {System: 0, Place: control.TankBottom},
			{System: 0, Place: control.LoopPressure}, {System: control.House, Place: control.OutdoorAir},
		},
		Outputs: []control.Output{{System: 0, Actuator: control.LoopPump}, {System: 0, Actuator: control.BackupHeater}},
	}
	h.tick = tick.Tick{
		House: &tick.House{Name: "House on the hill", Plan: plan, Version: "0.1.0"}, Number: 0, At: -time.Second,
		Wall:     control.Wall{Time: noon.Add(-time.Second), Trusted: true},
		Readings: make([]tick.Reading, len(plan.Probes)), Outputs: make([]tick.Output, len(plan.Outputs)),
		Systems: []tick.System{{CountsHeat: true, HotLitres: 84}},
	}
	for i, v := range []float64{61.3, 47.8, 36.4, 1.52, 24.5} {
		h.tick.Readings[i] = tick.Reading{Judged: control.Judged{Value: v, Quality: control.Good}, Kind: "one-wire"}
	}
	h.decide(0, 0, control.Upkeep, control.SaysNobodyAsks)
	h.decide(1, 0, control.Upkeep, control.SaysNobodyAsks)
	return h
}

func (h *house) decide(output int, level float64, rank control.Rank, says control.Words, values ...float64) {
	o := &h.tick.Outputs[output]
	o.Level, o.Driven, o.Rank = level, level, rank
	o.Reason = control.Reason{Words: says}
	copy(o.Reason.Values[:], values)
}

func (h *house) read(probe int, value float64) { h.tick.Readings[probe].Value = value }

// pass lets ticks come for a while, each changed before it is made.
func (h *house) pass(span time.Duration, change ...func(*tick.Tick)) {
	for end := h.tick.At + span; h.tick.At < end; {
		h.tick.Number++
		h.tick.At += time.Second
		h.tick.Wall.Time = h.tick.Wall.Time.Add(time.Second)
		for _, c := range change {
			c(&h.tick)
		}
		next := h.tick
		next.Readings = append([]tick.Reading(nil), next.Readings...)
		next.Outputs = append([]tick.Output(nil), next.Outputs...)
		next.Systems = append([]tick.System(nil), next.Systems...)
		h.h.Watch(&next)
	}
}

// write writes what waits, as the writer does when it is woken.
func (h *house) write() { h.h.attempt(false) }

// stop ends the run in good order.
func (h *house) stop() {
	h.h.attempt(true)
	if err := h.h.close(); err != nil {
		h.t.Fatal(err)
	}
}

// again is the next run of the program on the same folder, after a while.
func (h *house) again(away time.Duration) *house {
	next := newHouse(h.t, h.h.o.Folder)
	next.tick.Wall.Time = h.tick.Wall.Time.Add(away)
	next.tick.Systems = append([]tick.System(nil), h.tick.Systems...)
	return next
}

func (h *house) sound() {
	h.t.Helper()
	if why := h.h.Trouble(); why != "" {
		h.t.Fatalf("trouble: %s", why)
	}
}

func openFolder(t *testing.T, folder string) *Reader {
	t.Helper()
	r, err := Open(folder)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	})
	return r
}

// chartOf reads a chart with every row as a point.
func chartOf(t *testing.T, r *Reader, from, to time.Time) *Chart {
	t.Helper()
	c, err := r.Chart(context.Background(), Wanted{From: from, To: to, Points: mostPoints})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func (c *Chart) line(t *testing.T, name string) *Line {
	t.Helper()
	for i := range c.Lines {
		if c.Lines[i].Name == name {
			return &c.Lines[i]
		}
	}
	t.Fatalf("no series %s in the chart", name)
	return nil
}

func near(a, b, within float64) bool { return math.Abs(a-b) <= within }

func eventsOf(t *testing.T, r *Reader, kinds ...Kind) (out []Event) {
	t.Helper()
	err := r.Events(context.Background(), WantedEvents{From: time.Unix(0, 0), To: noon.AddDate(100, 0, 0), Kinds: kinds}, func(e *Event) error {
		out = append(out, *e)
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// logText is a log that can be read while it is written.
type logText struct {
	mu   sync.Mutex
	text strings.Builder
}

func (l *logText) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *logText) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}
