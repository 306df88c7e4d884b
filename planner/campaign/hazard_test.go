package campaign

import (
	"slices"
	"testing"
)

// TestEachHazardCanBeSeen: for every hazard there is a fault that brings it
// about, so that a campaign without it means something.
func TestEachHazardCanBeSeen(t *testing.T) {
	barriersGone := []Switch{{Kind: "heater thermostat welded"}, {Kind: "heater cut-out bridged"}, {Kind: "tank relief valve blocked"}}
	tried := map[Hazard]bool{}
	for _, c := range []struct {
		hazard Hazard
		scene  string
		s      Switch
	}{
		{TapScalds, "hot stagnation", Switch{Kind: "tempering valve stuck hot"}},
		{TankTooHot, "hot stagnation", Switch{Kind: "heater relay welded", With: barriersGone[:1]}},
		{TankBoils, "hot stagnation", Switch{Kind: "heater relay welded", With: barriersGone}},
		{LoopBurst, "frosty night", Switch{Kind: "glycol topped up with water", Amount: amount(1)}},
		{LoopPressure, "hot stagnation", Switch{Kind: "loop relief valve stuck shut", With: []Switch{{Kind: "expansion vessel lost its cushion"}}}},
		{PumpOnSteam, "hot stagnation", Switch{Kind: "pump relay welded"}},
		{HeaterDry, "frosty night", Switch{Kind: "heater element without water"}},
		{FalseHygiene, "big draw", Switch{Kind: "probe off by", Place: "tank_top", Amount: amount(12)}},
		{TapsCold, "big draw", Switch{Kind: "tempering valve stuck cold"}},
		{HeatToTheRoof, "sunny day", Switch{Kind: "pump relay welded"}},
		{HeatFromTheMeter, "sunny day", Switch{Kind: "snow on the collector", Lasts: 4 * day}},
		{RelayChatters, "sunny day", Switch{Kind: "pump relay chatters", Step: usualStep / 4}},
	} {
		tried[c.hazard] = true
		var w twins
		res, err := w.try(&Failure{Sight: AtOneLook}, newTrial(houses(t)[0], scene(t, c.scene), c.s))
		if err != nil || res == nil {
			t.Fatal(c.s, err)
		}
		if !slices.Contains(res.Hazards, c.hazard) {
			t.Errorf("%v, %s: %v, want %q", c.s, c.scene, res.Hazards, c.hazard)
		}
		if want := Open; c.hazard.Severe() && !res.alarmed() && res.Verdict != want {
			t.Errorf("%v, %s: the verdict is %q, want %q", c.s, c.scene, res.Verdict, want)
		}
	}
	for h := range numHazards {
		if !tried[h] {
			t.Errorf("nothing here brings about %q", h)
		}
	}
}
