package planner

import (
	"math"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// changed is the house with a winter, with some of its lines written otherwise.
func changed(t testing.TB, oldNew ...string) *site.Site {
	t.Helper()
	return plantKind{name: "changed", site: "house-with-winter", replace: oldNew}.load(t)
}

// regulated is the house with its pump on a level file.
func regulated(t testing.TB) *site.Site {
	return changed(t, regulatedPump...)
}

// TestRegulatedPumpYieldsAsMuch: over months of spring and summer a pump whose
// speed is regulated brings within 2 % of the heat that one brings which is only
// on or off, and takes less electricity for it. The plant's pump takes power in
// proportion to its speed; a real one gains more.
func TestRegulatedPumpYieldsAsMuch(t *testing.T) {
	t.Parallel()
	o := RunOptions{Weather: weather.NorthItaly(), Start: time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC), Step: LongestStep, Months: 2}
	plain, slow := yearOf(t, exampleSite(t, "house-with-winter"), o).Total(), yearOf(t, regulated(t), o).Total()
	t.Logf("from the sun %.1f kWh on and off, %.1f kWh regulated; pump %.2f and %.2f kWh; starts %d and %d",
		plain.FromSunKWh, slow.FromSunKWh, plain.PumpKWh, slow.PumpKWh, plain.PumpStarts, slow.PumpStarts)
	if slow.FromSunKWh < 0.98*plain.FromSunKWh {
		t.Errorf("regulated, the sun gives %.1f kWh instead of %.1f kWh", slow.FromSunKWh, plain.FromSunKWh)
	}
	if slow.PumpKWh >= plain.PumpKWh {
		t.Errorf("regulated, the pump takes %.2f kWh instead of %.2f kWh", slow.PumpKWh, plain.PumpKWh)
	}
	if slow.PumpStarts > plain.PumpStarts {
		t.Errorf("regulated, the pump starts %d times instead of %d", slow.PumpStarts, plain.PumpStarts)
	}
}

// TestRegulatedPumpDoesNotSwing: on a plant with pipes, delays and clouds the
// speed turns about no more often than the sky and the taps give reason for,
// whatever the step.
func TestRegulatedPumpDoesNotSwing(t *testing.T) {
	t.Parallel()
	for _, step := range []time.Duration{2 * time.Second, 10 * time.Second, LongestStep} {
		r, err := NewRun(regulated(t), RunOptions{Weather: weather.NorthItaly(), Start: time.Date(2026, 5, 1, 0, 0, 0, 0, time.UTC), Step: step, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		var turns turnings
		running := time.Duration(0)
		for r.House.Elapsed() < 14*24*time.Hour {
			out := r.Step()
			d := &out.Decisions[0]
			if d.On() && (d.Level < 0.3 || d.Level > 1) {
				t.Fatalf("the level is %g", d.Level)
			}
			if d.On() && d.Reason.Words == control.SaysLoopSlowed {
				running += step
				turns.see(d.Level)
			}
		}
		perHour := float64(turns.n) / running.Hours()
		t.Logf("step %v: %.1f turns by a tenth of full speed an hour, in %.0f h", step, perHour, running.Hours())
		if perHour > 6 || running < 10*time.Hour {
			t.Errorf("step %v: the speed turns about %.1f times an hour, in %.0f h", step, perHour, running.Hours())
		}
	}
}

// turnings counts how often a value turns about, by a tenth or more.
type turnings struct {
	n       int
	rising  bool
	extreme float64
}

func (t *turnings) see(v float64) {
	switch {
	case t.rising == (v > t.extreme):
		t.extreme = v
	case math.Abs(v-t.extreme) >= 0.1:
		t.n++
		t.rising, t.extreme = !t.rising, v
	}
}
