package dashboard

import (
	"bytes"
	"encoding/json"
	"flag"
	"math"
	"path/filepath"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/dashboard/door"
	"sunstoker/planner/paper/papertest"
	"sunstoker/station/tick"
)

var update = flag.Bool("update", false, "write the golden files anew")

// golden compares with a file under testdata. The page's own tests read the
// same JSON files, so that neither side can drift.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", name), string(got), *update)
}

func TestNowIsTheGoldenJSON(t *testing.T) {
	for name, tk := range map[string]*tick.Tick{"now_sunny.json": sunnyTick(), "now_trouble.json": troubleTick()} {
		k := keep(tk, time.Unix(100, 0))
		body, err := k.answer(time.Unix(100, 4e8), door.Use)
		if err != nil {
			t.Fatal(err)
		}
		var pretty bytes.Buffer
		if err := json.Indent(&pretty, body, "", "  "); err != nil {
			t.Fatal(err)
		}
		golden(t, name, append(pretty.Bytes(), '\n'))
	}
}

func TestWhatIsNoNumberStaysReadableJSON(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		tk := sunnyTick()
		tk.Readings[0].Value, tk.Outputs[0].Driven, tk.Outputs[0].Level = v, v, v
		tk.Outputs[0].Reason.Values[0] = v
		n := NowOf(tk)
		if body, err := json.Marshal(n); err != nil {
			t.Errorf("%v: %v (%s)", v, err, body)
		}
		if got := n.Systems[0].Readings[0].Value; got != nil {
			t.Errorf("a reading of %v is shown as %v", v, *got)
		}
	}
}

func TestShorterSlicesThanThePlanDoNotPanic(t *testing.T) {
	tk := troubleTick()
	tk.Readings, tk.Outputs = tk.Readings[:2], tk.Outputs[:1]
	n := NowOf(tk)
	if got := len(n.Systems[0].Readings) + len(n.Systems[0].Outputs); got != 3 {
		t.Errorf("%d entries are left, want 3", got)
	}
}

func TestNamesCoverEveryRankAndUrgency(t *testing.T) {
	if after := control.Rank(len(rankNames)); after.String() != "unknown rank" {
		t.Errorf("rank %q has no name here", after)
	}
	for r, name := range rankNames {
		if name == "" || control.Rank(r).String() == "unknown rank" {
			t.Errorf("rank %d is named %q here and %q in control", r, name, control.Rank(r))
		}
	}
	if after := control.AtOnce + 1; after.String() != "unknown" {
		t.Errorf("urgency %q is not counted in the metrics", after)
	}
}

func TestHeatSources(t *testing.T) {
	cases := []struct {
		name       string
		change     func(*tick.Tick)
		sun, meter string
	}{
		{"pump runs on a hot collector", func(*tick.Tick) {}, "yes", "no"},
		{"pump rests", func(tk *tick.Tick) { tk.Outputs[0].Driven = 0 }, "no", "no"},
		{"frost protection takes heat out", func(tk *tick.Tick) { tk.Readings[0].Value = 3 }, "no", "no"},
		{"pump runs, collector unread", func(tk *tick.Tick) { tk.Readings[0].Quality = control.Missing }, "unknown", "no"},
		{"tank top stands in for the bottom", func(tk *tick.Tick) { tk.Readings[2].Quality = control.Suspect }, "yes", "no"},
		{"no tank reading at all", func(tk *tick.Tick) {
			tk.Readings[1].Quality, tk.Readings[2].Quality = control.Missing, control.Missing
		}, "unknown", "no"},
		{"pump can't be driven", func(tk *tick.Tick) { tk.Outputs[0].Fault, tk.Outputs[0].Driven = "held", 0 }, "unknown", "no"},
		{"heater heats", func(tk *tick.Tick) { tk.Outputs[1].Driven = 1 }, "yes", "yes"},
		{"heater can't be driven", func(tk *tick.Tick) { tk.Outputs[1].Fault = "held" }, "yes", "unknown"},
		{"natural circulation turns", func(tk *tick.Tick) {
			tk.House.Plan.Systems[0].Loop = control.Natural
			tk.Outputs[0].Driven = 0
		}, "yes", "no"},
		{"natural circulation at night", func(tk *tick.Tick) {
			tk.House.Plan.Systems[0].Loop = control.Natural
			tk.Readings[0].Value = 37
		}, "no", "no"},
	}
	for _, c := range cases {
		tk := sunnyTick()
		c.change(tk)
		if sun, meter := heatSources(tk, 0); sun.String() != c.sun || meter.String() != c.meter {
			t.Errorf("%s: sun %v, meter %v; want %s, %s", c.name, sun, meter, c.sun, c.meter)
		}
	}
}
