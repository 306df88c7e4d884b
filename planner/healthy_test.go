package planner

import (
	"slices"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/weather"
)

// seldomButTrue are the findings that a sound house may have, because they are
// true: its weather and its full tanks are what they are.
var seldomButTrue = map[control.FindingKind]bool{
	control.FoundStagnation:   true,
	control.FoundNearFreezing: true,
}

// trueOfTheKind are the findings that the plant itself asks for.
var trueOfTheKind = map[string][]control.FindingKind{
	// A loop that runs backwards can look like a pump that does not stop.
	"pumped, no check valve":    {control.FoundReverseCirculation, control.FoundPumpRelayStuck},
	"loop-fluid store, natural": {control.FoundTankTooHot}, // nothing but its relief valve stops the sun
	// The shed has no heater, and in series it gets its water warm.
	"two systems side by side": {control.FoundHygieneOverdue},
	"two systems in series":    {control.FoundHygieneOverdue, control.FoundTankUnused},
}

// TestProofSoundHousesHaveNoFindings: no sound house of any kind, with probes that
// flicker, is told that something is wrong with it. The usual ones go through a whole
// year; of the others every second one through spring and the rest through autumn, so
// that what is learned in weeks meets rising and falling sun; in a proof all go
// through a year.
func TestProofSoundHousesHaveNoFindings(t *testing.T) {
	source := weather.NorthItaly()
	for i, k := range plantKinds {
		t.Run(k.name, func(t *testing.T) {
			t.Parallel()
			s := k.load(t)
			s.Plan.LatitudeDeg, s.Plan.LongitudeDeg = source.Place().LatitudeDeg, source.Place().LongitudeDeg
			first, months := []time.Month{time.March, time.August}[i%2], 3
			if whole() || k.name == "pumped" || k.name == "natural circulation" {
				first, months = time.January, 12
			}
			start := time.Date(2026, first, 1, 0, 0, 0, 0, s.Zone)
			r := k.run(t, s, RunOptions{Weather: source, Start: start, Step: LongestStep, Months: months}, func(c *sim.Config) {
				for i := range c.Probes {
					c.Probes[i].NoiseK = 0.05
				}
			})
			for _, found := range mustRun(t, r).Reported {
				if !seldomButTrue[found.Kind] && !slices.Contains(trueOfTheKind[k.name], found.Kind) {
					t.Errorf("%s for %v, %d times, first on %s", found.Kind, found.For, found.Times, found.First.Format("2006-01-02 15:04"))
				}
			}
		})
	}
}
