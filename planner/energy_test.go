package planner

import (
	"math"
	"testing"

	"sunstoker/control"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// TestProofEnergyBookAgainstTheTruth holds the controller's energy book, which knows
// nothing but its probes, against what the simulated plant has booked in half a
// year, or a whole one. Electricity is counted by run time and must agree; heat by the tank's
// two probes is an estimate, and the bar says how good it must be; a meter in
// the loop does better, less the loss of the loop's hot pipe, which it counts
// in.
func TestProofEnergyBookAgainstTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	skipRaced(t)
	months := 6
	if whole() {
		months = 12
	}
	add := func(places ...control.Place) func(s *site.Site) {
		return func(s *site.Site) {
			for _, place := range places {
				probe := control.Probe{System: 0, Place: place}
				s.Plan.Probes = append(s.Plan.Probes, probe)
				s.Probes = append(s.Probes, site.ProbeWiring{Probe: probe})
			}
		}
	}
	// At part speed the plant's pump takes power by its level, the book by the cube.
	onOff := func(s *site.Site) { s.Plan.Outputs[0].LeastLevel, s.Outputs[0].LeastLevel = 0, 0 }
	for _, c := range []struct {
		name, site    string
		change        func(s *site.Site)
		sunBar, drawn float64 // relative
	}{
		{"two tank probes", "house-with-winter", add(), 0.10, 0.10},
		{"loop meter", "house-with-winter", add(control.CoilReturn, control.LoopFlow), 0.10, 0.10},
		{"natural circulation", "highland-house", add(control.TankBottom), 0.10, 0.10},
		// Where people draw much by day, much of the sun goes unseen in the draws.
		{"hot-water circulation", "long-pipes-house", onOff, 0.20, 0.10},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := exampleSite(t, c.site)
			c.change(s)
			r, err := NewRun(s, RunOptions{Weather: weather.NorthItaly(), Start: newYear, Seed: 1, Step: LongestStep, Months: months})
			if err != nil {
				t.Fatal(err)
			}
			mustRun(t, r)
			truth, got := r.House.Book(0), r.Controller.EnergyOf(0)
			near := func(what string, gotJ, wantJ, bar float64) {
				off := gotJ/wantJ - 1
				t.Logf("%s: %.0f kWh counted, %.0f kWh true, %+.1f %%", what, gotJ/3.6e6, wantJ/3.6e6, 100*off)
				if !(math.Abs(off) <= bar) {
					t.Errorf("%s is off by %.1f %%, more than %.0f %%", what, 100*off, 100*bar)
				}
			}
			near("heat from the sun", got.SunJ, truth.LoopToTankJ, c.sunBar)
			near("heat from the meter", got.MeterJ, truth.HeaterJ, 0.005)
			near("drawn heat", got.DrawnJ, truth.DrawnJ, c.drawn)
			near("tank loss", got.TankLossJ, truth.TankLossJ, 0.15)
			if truth.PumpJ > 0 {
				near("pump", got.PumpJ, truth.PumpJ, 0.005)
			}
			if truth.CirculationPumpJ > 0 {
				near("circulation pump", got.CirculationPumpJ, truth.CirculationPumpJ, 0.005)
				// Runs are short, and the return's probe lags behind the hot water.
				near("circulation loss", got.CirculationLossJ, truth.RingJ, 0.15)
			}
		})
	}
}
