package planner

import (
	"context"
	"math"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// tape is what the controller decided in each step of a run, in the order of
// its outputs.
type tape []float64

// record is a whole run; it keeps the decisions and returns the tank's top at
// the end, for a replay to meet.
func (t *tape) record(r *Run, steps int) float64 {
	for range steps {
		out := r.Step()
		for i := range r.outputs {
			*t = append(*t, out.Decisions[i].Level)
		}
	}
	return r.House.TankC(0, 1)
}

// replay drives a house by the tape, without a controller, with or without
// reading its probes.
func (t tape) replay(r *Run, probes bool) float64 {
	for len(t) > 0 {
		if probes {
			now := r.House.Elapsed()
			for i, p := range r.probes {
				r.readings[i].Value, _ = p.Read(now)
			}
		}
		for i, o := range r.outputs {
			switch o.Actuator {
			case control.LoopPump:
				r.House.SetPump(o.System, t[i])
			case control.BackupHeater:
				r.House.SetHeater(o.System, t[i] > 0)
			}
		}
		t = t[len(r.outputs):]
		r.House.Step(r.step)
	}
	return r.House.TankC(0, 1)
}

// BenchmarkSplit tells what a step of a year costs, in ns, and to whom it goes:
// the plant with its weather and household, the probes, the controller, and what
// RunYear adds. The year is run, recorded, and replayed without controller and
// without probes; the parts are the differences. Each is the quickest of
// several rounds, since a busy machine only ever adds.
func BenchmarkSplit(b *testing.B) {
	s := exampleSite(b, "house-with-winter")
	w := weather.NorthItaly()
	start := time.Date(2026, 1, 1, 0, 0, 0, 0, s.Zone)
	const step = 10 * time.Second
	steps := int(start.AddDate(1, 0, 0).Sub(start) / step)
	decisions := make(tape, 0, steps*len(s.Plan.Outputs))
	least := [4]float64{math.Inf(1), math.Inf(1), math.Inf(1), math.Inf(1)}
	var tops [3]float64
	timed := func(i int, run func(*Run)) {
		r := mustBuild(b, s, RunOptions{Weather: w, Start: start, Step: step, Seed: 1})
		begin := time.Now()
		run(r)
		least[i] = min(least[i], float64(time.Since(begin).Nanoseconds())/float64(steps))
	}
	tops[0] = decisions.record(mustBuild(b, s, RunOptions{Weather: w, Start: start, Step: step, Seed: 1}), steps)
	for b.Loop() {
		for range 3 {
			timed(0, func(r *Run) {
				for range steps {
					r.Step()
				}
			})
			timed(1, func(r *Run) { tops[1] = decisions.replay(r, true) })
			timed(2, func(r *Run) { tops[2] = decisions.replay(r, false) })
			timed(3, func(r *Run) {
				if _, err := RunYear(context.Background(), r, nil); err != nil {
					b.Fatal(err)
				}
			})
		}
	}
	if tops[1] != tops[0] || tops[2] != tops[0] {
		b.Fatalf("the tank's top ends at %g degC, replayed at %g and %g", tops[0], tops[1], tops[2])
	}
	b.ReportMetric(0, "ns/op") // the whole benchmark's, of no use
	b.ReportMetric(least[3], "ns/step")
	b.ReportMetric(least[2], "plant-ns/step")
	b.ReportMetric(least[1]-least[2], "probes-ns/step")
	b.ReportMetric(least[0]-least[1], "controller-ns/step")
	b.ReportMetric(least[3]-least[0], "planner-ns/step")
}

// TestStepAllocatesNothing: after its first days a run allocates nothing.
func TestStepAllocatesNothing(t *testing.T) {
	skipRaced(t)
	s := exampleSite(t, "house-with-winter")
	r := mustBuild(t, s, RunOptions{Weather: weather.NorthItaly(), Start: newYear.In(s.Zone), Seed: 1})
	const day = 24 * 3600 / 10
	for range 60 * day {
		r.Step()
	}
	if perDay := testing.AllocsPerRun(3, func() {
		for range day {
			r.Step()
		}
	}); perDay != 0 {
		t.Errorf("%g allocations in a day of steps", perDay)
	}
}

func mustBuild(t testing.TB, s *site.Site, o RunOptions) *Run {
	t.Helper()
	r, err := NewRun(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
