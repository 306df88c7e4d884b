package campaign

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"testing"
	"time"
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
		if want := Open; c.hazard.Severe() && res.waited(severe(res.Hazards)) == never && res.Verdict != want {
			t.Errorf("%v, %s: the verdict is %q, want %q", c.s, c.scene, res.Verdict, want)
		}
	}
	for h := range numHazards {
		if !tried[h] {
			t.Errorf("nothing here brings about %q", h)
		}
	}
}

// TestWatchReadsThePlantAlone: hazards are counted in the plant's truth. Of the
// controller's words only its claim of a hygiene heat-up is read, to be held
// against that truth.
func TestWatchReadsThePlantAlone(t *testing.T) {
	for _, file := range []string{"watch.go", "hazard.go", "overdrive.go"} {
		tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(tree, func(n ast.Node) bool {
			of, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			switch from := of.X.(type) {
			case *ast.Ident:
				if from.Name == "control" && of.Sel.Name != "Plan" && of.Sel.Name != "Natural" {
					t.Errorf("%s reads control.%s", file, of.Sel.Name)
				}
				if from.Name == "run" && of.Sel.Name != "House" && of.Sel.Name != "Controller" {
					t.Errorf("%s reads run.%s", file, of.Sel.Name)
				}
			case *ast.SelectorExpr:
				if from.Sel.Name == "run" && of.Sel.Name != "House" && of.Sel.Name != "Controller" {
					t.Errorf("%s reads run.%s", file, of.Sel.Name)
				}
				if from.Sel.Name == "Controller" && of.Sel.Name != "HygieneSince" {
					t.Errorf("%s reads Controller.%s", file, of.Sel.Name)
				}
			}
			return true
		})
	}
}

// TestRestartCeilingKeepsThePumpFromSteam: after hours without power in full sun the
// tank is cold and the collector steams. The pump waits; a controller whose ceiling
// is out of reach does not, and the watch sees it.
func TestRestartCeilingKeepsThePumpFromSteam(t *testing.T) {
	for ceilingC, steams := range map[float64]bool{0: false, 400: true} {
		h := houses(t)[0]
		if ceilingC > 0 {
			h.site.Plan.Systems[0].Settings.RestartCeilingC = ceilingC
		}
		trial := newTrial(h, scene(t, "sunny day"), Switch{Kind: "mains power cut", Lasts: 4 * time.Hour})
		rec, _, err := trial.Run()
		if err != nil {
			t.Fatal(err)
		}
		if starts := rec.Harm.Amount[PumpOnSteam]; starts > 0 != steams {
			t.Errorf("with a ceiling of %g °C (0: the usual one) the pump starts on steam %g times", ceilingC, starts)
		}
	}
}
