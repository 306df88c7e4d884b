package campaign

import (
	"fmt"
	"slices"
	"testing"
)

func scene(t *testing.T, name string) *Scene {
	t.Helper()
	i := slices.IndexFunc(scenes, func(s Scene) bool { return s.Name == name })
	if i < 0 {
		t.Fatalf("there is no scene %q", name)
	}
	return &scenes[i]
}

// TestIndependentPartsKeepPeopleSafe: with every output forced on, or off, for a
// day, the parts that need no program keep people and loop from harm; and each
// of them is needed, since harm comes when it is taken away.
func TestIndependentPartsKeepPeopleSafe(t *testing.T) {
	for _, h := range houses(t) {
		for i := range scenes {
			hazards, _, _, err := Overdrive(h, &scenes[i])
			if err != nil {
				t.Fatal(err)
			}
			if len(hazards) > 0 {
				t.Errorf("%s, %s, all outputs on: %v", h.Name, scenes[i].Name, hazards)
			}
		}
	}
	for _, c := range []struct {
		house   int
		scene   string
		on      bool
		without []Hardware
		want    Hazard
	}{
		{0, "hot stagnation", true, []Hardware{TemperingValve}, TapScalds},
		{1, "hot stagnation", true, []Hardware{TemperingValve}, TapScalds},
		{3, "hot stagnation", true, []Hardware{TemperingValve}, TapScalds},
		{0, "hot stagnation", true, []Hardware{Thermostat, CutOut, TankRelief}, TankBoils},
		{0, "hot stagnation", false, []Hardware{LoopRelief}, LoopPressure},
		{0, "frosty night", false, []Hardware{AntifreezeInLoop}, LoopBurst},
		{1, "frosty night", false, []Hardware{AntifreezeInLoop}, LoopBurst},
	} {
		h, sc := houses(t)[c.house], scene(t, c.scene)
		name := fmt.Sprintf("%s, %s, without %v", h.Name, c.scene, c.without)
		run := func(without ...Hardware) []Hazard {
			hazards, _, _, err := forced(h, sc, c.on, without)
			if err != nil {
				t.Fatal(err)
			}
			return hazards
		}
		if slices.Contains(run(), c.want) {
			t.Errorf("%s: there is %q with all parts in place", name, c.want)
		}
		if got := run(c.without...); !slices.Contains(got, c.want) {
			t.Errorf("%s: %v, want %q", name, got, c.want)
		}
	}
}

// TestBarriersStandBehindEachOther: without the thermostat the cut-out opens,
// without both the tank's relief valve.
func TestBarriersStandBehindEachOther(t *testing.T) {
	h, sc := houses(t)[0], scene(t, "hot stagnation")
	for _, c := range []struct {
		without        []Hardware
		cutOut, relief bool
	}{
		{[]Hardware{Thermostat}, true, false},
		{[]Hardware{Thermostat, CutOut}, false, true},
	} {
		hazards, cutOut, relief, err := Overdrive(h, sc, c.without...)
		if err != nil {
			t.Fatal(err)
		}
		if cutOut != c.cutOut || relief != c.relief || len(hazards) > 0 {
			t.Errorf("without %v: cut-out opened %v, relief valve opened %v, hazards %v", c.without, cutOut, relief, hazards)
		}
	}
}
