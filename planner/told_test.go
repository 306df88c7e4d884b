package planner

import (
	"os"
	"slices"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/weather"
)

// TestWhatBreaksIsTold: a fault in a simulated spring is told by a finding that
// fits it, and the finding goes some time after the repair.
func TestWhatBreaksIsTold(t *testing.T) {
	const top, bottom, collector = "roof, tank top", "roof, tank bottom", "roof, collector"
	source := weather.NorthItaly()
	for _, c := range []struct {
		fault, probe string
		want         control.FindingKind
		stays        bool // until a person has done more, or for longer than the run
	}{
		{"pump does not turn", "", control.FoundPumpMovesNoHeat, false},
		{"pump relay open", "", control.FoundPumpMovesNoHeat, false},
		{"check valve stuck shut", "", control.FoundPumpMovesNoHeat, false},
		{"loop lost all fluid", "", control.FoundPumpMovesNoHeat, true},
		{"pump relay welded", "", control.FoundPumpRelayStuck, false},
		{"check valve stuck open", "", control.FoundReverseCirculation, false},
		{"heater relay welded", "", control.FoundHeaterRelayStuck, false},
		{"heater element open", "", control.FoundHeaterGivesNothing, false},
		{"heater cut-out tripped", "", control.FoundHeaterGivesNothing, true},
		{"heater thermostat set low", "", control.FoundHeaterThermostatLow, false},
		{"probe pulled out", collector, control.FoundProbeOutOfPocket, false},
		{"probe pulled out", bottom, control.FoundSunInTheDark, false},
		{"probe pulled out", top, control.FoundTankTopStuck, false},
		{"nobody at home", "", control.FoundTankUnused, false},
	} {
		t.Run(c.fault+" "+c.probe, func(t *testing.T) {
			t.Parallel()
			k := plantKinds[0]
			s := k.load(t)
			s.Plan.LatitudeDeg, s.Plan.LongitudeDeg = source.Place().LatitudeDeg, source.Place().LongitudeDeg
			start := time.Date(2026, 4, 1, 0, 0, 0, 0, s.Zone)
			from, until := 10*24*time.Hour, 22*24*time.Hour
			r := k.run(t, s, RunOptions{Weather: source, Start: start, Step: LongestStep, Months: 1}, func(config *sim.Config) {
				config.Faults = []sim.Fault{{Name: c.fault, Probe: c.probe, Start: from, Duration: until - from}}
			})
			before, told, now := false, false, false
			for r.House.Elapsed() < 30*24*time.Hour {
				out := r.Step()
				now = slices.ContainsFunc(out.Findings, func(f control.Finding) bool { return f.Kind == c.want })
				before = before || now && r.House.Elapsed() < from
				told = told || now && r.House.Elapsed() <= until
			}
			if before || !told || now && !c.stays {
				t.Errorf("%s: told before the fault %v, during it %v, at the end %v", c.want, before, told, now)
			}
		})
	}
}

// TestProofSlowFaultsAreTold: what takes months to show, in simulated years; a proof.
func TestProofSlowFaultsAreTold(t *testing.T) {
	if os.Getenv("SUNSTOKER_PROOF") == "" {
		t.Skip("a proof: set SUNSTOKER_PROOF")
	}
	source := weather.NorthItaly()
	for _, c := range []struct {
		fault, probe string
		fromDay      int
		want         control.FindingKind
	}{
		{"pump weak", "", 210, control.FoundPumpWeak},
		{"heater element scaled", "", 120, control.FoundHeaterSlow},
		{"probe on a warm wall", "outdoor air", 30, control.FoundOutdoorWarm},
	} {
		t.Run(c.fault, func(t *testing.T) {
			t.Parallel()
			k := plantKinds[0]
			s := k.load(t)
			s.Plan.LatitudeDeg, s.Plan.LongitudeDeg = source.Place().LatitudeDeg, source.Place().LongitudeDeg
			start := time.Date(2026, 1, 1, 0, 0, 0, 0, s.Zone)
			from := time.Duration(c.fromDay) * 24 * time.Hour
			r := k.run(t, s, RunOptions{Weather: source, Start: start, Step: LongestStep, Months: 12}, func(config *sim.Config) {
				config.Faults = []sim.Fault{{Name: c.fault, Probe: c.probe, Start: from, Duration: 365 * 24 * time.Hour}}
			})
			told := time.Duration(0)
			for r.House.Elapsed() < 360*24*time.Hour && told == 0 {
				if out := r.Step(); slices.ContainsFunc(out.Findings, func(f control.Finding) bool { return f.Kind == c.want }) {
					told = r.House.Elapsed()
				}
			}
			if told <= from {
				t.Fatalf("%s: told after %v, the fault came after %v", c.want, told, from)
			}
			t.Logf("proof: days until %s is told of = %.0f days", c.fault, (told-from).Hours()/24)
		})
	}
}
