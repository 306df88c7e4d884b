package planner

import (
	"math"
	"slices"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/weather"
)

// stillCold is a night without end, under cloud and without wind.
type stillCold struct{ airC float64 }

func (stillCold) Place() weather.Place {
	return weather.Place{LatitudeDeg: 46.5, LongitudeDeg: 11.3, AltitudeM: 620}
}

func (w stillCold) At(time.Time) weather.Sample { return weather.Sample{AirC: w.airC} }

// TestLastResortBringsWarmthToTheRoof: in air half a kelvin above its fluid's freezing
// point, each burst brings the tank's warmth to the collector's probe, by pipes of usual
// length and by long ones. So bursts go on for as long as the cold does, and take little.
func TestLastResortBringsWarmthToTheRoof(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ name, pipes string }{
		{"usual pipes", ""},
		{"pipes of 25 m", "[system.plumbing]\npipe_length = \"25 m\"\n"},
	} {
		t.Run(c.name, func(t *testing.T) {
			kind := plantKind{name: c.name, site: "house-with-winter", replace: []string{
				`"45 %"`, `"20 %"`, `"-16 °C"`, `"-4 °C"`, "[system.settings]", c.pipes + "[system.settings]",
			}}
			s := kind.load(t)
			freezesC := s.Plan.Systems[0].FreezingPointC
			r := kind.run(t, s, RunOptions{Weather: stillCold{freezesC + 0.5}, Start: newYear, Step: 10 * time.Second, Months: 1},
				func(c *sim.Config) { c.Household = nil })
			set := &s.Plan.Systems[0].Settings
			got := burstsOf(t, r, 36*time.Hour)
			t.Logf("%d bursts, %v in all; the collector came to %.1f °C at least, its fluid freezes at %.1f °C", got.count, got.on, got.leastC, freezesC)
			if enoughC := freezesC + set.FrostLastResortK + set.FrostBandK; got.leastC < enoughC+2 {
				t.Errorf("a burst brought the collector to %.1f °C; from %.1f °C it is seen to help", got.leastC, enoughC)
			}
			if got.count < 20 || got.on > 36*time.Hour/6 {
				t.Errorf("%d bursts, %v in all, in 36 h", got.count, got.on)
			}
		})
	}
}

// bursts are the runs of a loop pump, and how warm the collector's reading became at
// least after each.
type bursts struct {
	count  int
	on     time.Duration
	leastC float64
}

func burstsOf(t *testing.T, r *Run, length time.Duration) bursts {
	plan := r.Controller.Plan()
	pump := slices.IndexFunc(plan.Outputs, func(o control.Output) bool { return o.Actuator == control.LoopPump })
	collector := slices.IndexFunc(plan.Probes, func(p control.Probe) bool { return p.Place == control.Collector })
	b := bursts{leastC: math.Inf(1)}
	wasOn, warmestC := false, 0.0
	for r.House.Elapsed() < length {
		out := r.Step()
		d, readC := &out.Decisions[pump], out.Readings[collector].Value
		switch {
		case d.On() && d.Reason.Words != control.SaysLastResort:
			t.Fatalf("the pump runs: %s", d.Reason)
		case d.On() && !wasOn:
			if b.count++; b.count > 1 {
				b.leastC = min(b.leastC, warmestC)
			}
			warmestC = readC
		}
		if wasOn = d.On(); wasOn {
			b.on += r.step
		}
		warmestC = max(warmestC, readC)
	}
	return b
}
