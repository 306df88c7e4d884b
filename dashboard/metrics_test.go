package dashboard

import (
	"bytes"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/prometheus/client_golang/prometheus/testutil"
	"github.com/prometheus/common/expfmt"
	"pgregory.net/rapid"

	"sunstoker/control"
	"sunstoker/dashboard/door"
	"sunstoker/station/tick"
)

// stopped is a real clock that stands still.
func stopped() time.Time { return time.Unix(1_000, 0) }

func watching(tk *tick.Tick) *Dashboard {
	d := New(Options{Now: stopped})
	d.Watch(tk)
	return d
}

func TestMetricsAreClean(t *testing.T) {
	for _, tk := range []*tick.Tick{sunnyTick(), troubleTick()} {
		problems, err := testutil.GatherAndLint(watching(tk).registry())
		if err != nil || len(problems) > 0 {
			t.Errorf("problems %v, error %v", problems, err)
		}
	}
}

func TestMetricsAreTheGoldenText(t *testing.T) {
	families, err := watching(troubleTick()).registry().Gather()
	if err != nil {
		t.Fatal(err)
	}
	var page bytes.Buffer
	for _, f := range families {
		if _, err := expfmt.MetricFamilyToText(&page, f); err != nil {
			t.Fatal(err)
		}
	}
	text := bytes.ReplaceAll(page.Bytes(), []byte(runtime.Version()), []byte("go"))
	golden(t, "metrics.txt", text)
}

func TestFailedProbeLeavesTheTemperatures(t *testing.T) {
	for _, q := range []control.Quality{control.Suspect, control.Missing} {
		tk := sunnyTick()
		tk.Readings[0].Quality = q
		r := watching(tk).registry()
		temps, err := testutil.GatherAndCount(r, "sunstoker_temperature_celsius")
		if err != nil || temps != 3 {
			t.Errorf("%v: %d temperatures of 3 good probes, error %v", q, temps, err)
		}
		got, err := testutil.GatherAndCount(r, "sunstoker_reading_quality")
		if err != nil || got != 12 {
			t.Errorf("%v: %d qualities, want 3 for each of 4 probes, error %v", q, got, err)
		}
	}
}

func TestNoTickNoFigures(t *testing.T) {
	d := New(Options{Now: stopped})
	n, err := testutil.GatherAndCount(d.registry())
	refusals := 0
	for range new(door.Refused).All() {
		refusals++
	}
	if err != nil || n != 1+refusals {
		t.Errorf("%d series before the first tick, want the viewers and the %d kinds of refusal alone; error %v", n, refusals, err)
	}
}

func TestTickAgeIsRealTime(t *testing.T) {
	at := time.Unix(1_000, 0)
	d := New(Options{Now: func() time.Time { return at }})
	d.Watch(sunnyTick())
	at = at.Add(90 * time.Second)
	want := "# HELP sunstoker_tick_age_seconds Real time since the newest tick arrived. All other figures are of that tick.\n" +
		"# TYPE sunstoker_tick_age_seconds gauge\nsunstoker_tick_age_seconds 90\n"
	if err := testutil.GatherAndCompare(d.registry(), strings.NewReader(want), "sunstoker_tick_age_seconds"); err != nil {
		t.Error(err)
	}
}

// TestLabelsAreBounded feeds ticks with arbitrary texts wherever a probe, a
// driver or a person can put one, and finds none of them in a label.
func TestLabelsAreBounded(t *testing.T) {
	allowed := map[string]map[string]bool{
		"system":   set("", "roof", "guest house"),
		"place":    set("collector", "tank_top", "tank_bottom", "outdoor_air"),
		"actuator": set("loop_pump", "backup_heater"),
		"part":     set("", "collector", "tank_top", "tank_bottom", "outdoor_air", "loop_pump", "backup_heater"),
		"quality":  set("missing", "suspect", "good"),
		"rank":     set("upkeep", "economy", "comfort", "hygiene", "person", "protection"),
		"urgency":  set("information", "soon", "at_once"),
		"version":  set("0.1.0"), "goversion": set(runtime.Version()),
	}
	lists := closed()
	allowed["kind"], allowed["reason"] = lists["kind"], lists["reason"]
	rapid.Check(t, func(t *rapid.T) {
		d := watching(anyTick(t))
		series := 0
		families, err := d.registry().Gather()
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range families {
			for _, m := range f.Metric {
				series++
				for _, l := range m.Label {
					if !allowed[l.GetName()][l.GetValue()] {
						t.Fatalf("%s has %s=%q", f.GetName(), l.GetName(), l.GetValue())
					}
				}
			}
		}
		if series > 150 {
			t.Fatalf("%d series for a house of two systems", series)
		}
	})
}

func set(values ...string) map[string]bool {
	s := map[string]bool{}
	for _, v := range values {
		s[v] = true
	}
	return s
}

// anyTick is the tick with about everything wrong, and figures and texts at
// random.
func anyTick(t *rapid.T) *tick.Tick {
	tk := troubleTick()
	text := rapid.String()
	for i := range tk.Readings {
		r := &tk.Readings[i]
		r.Value = rapid.Float64().Draw(t, "value")
		r.Age = time.Duration(rapid.Int64().Draw(t, "age"))
		r.Quality = control.Quality(rapid.IntRange(0, 2).Draw(t, "quality"))
		r.Fault, r.Raw, r.Kind = text.Draw(t, "fault"), text.Draw(t, "raw"), text.Draw(t, "kind")
	}
	for i := range tk.Outputs {
		o := &tk.Outputs[i]
		o.Driven = rapid.Float64().Draw(t, "driven")
		o.Rank = control.Rank(rapid.IntRange(0, 5).Draw(t, "rank"))
		o.Reason.Words = control.Words(rapid.IntRange(0, 40).Draw(t, "words"))
		o.Fault = text.Draw(t, "output fault")
	}
	kinds := control.FindingKinds()
	for i := range tk.Findings {
		tk.Findings[i].Kind = kinds[(i*len(kinds)/len(tk.Findings)+rapid.IntRange(0, 2).Draw(t, "kind"))%len(kinds)]
		tk.Findings[i].Detail = text.Draw(t, "detail")
	}
	return tk
}

func TestNameThatIsNoTextDoesNotSpoilTheScrape(t *testing.T) {
	tk := sunnyTick()
	tk.House.Plan.Systems[0].Name = "ro\xffof" // no UTF-8
	if _, err := watching(tk).registry().Gather(); err != nil {
		t.Error(err)
	}
}
