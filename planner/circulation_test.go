package planner

import (
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// TestCirculationIsDriven: the program's circulation runs a small part of the
// time that one runs that nobody switches, and loses much less heat.
func TestCirculationIsDriven(t *testing.T) {
	t.Parallel()
	o := RunOptions{Weather: weather.NorthItaly(), Step: LongestStep, Months: 1}
	driven := exampleSite(t, "long-pipes-house")
	allDay := *driven
	of := func(o control.Output) bool { return o.Actuator == control.HotWaterCirculation }
	allDay.Plan.Outputs = slices.DeleteFunc(slices.Clone(driven.Plan.Outputs), of)
	a, b := yearOf(t, driven, o).Total(), yearOf(t, &allDay, o).Total()
	t.Logf("driven %.0f h and %.0f kWh lost by the line, all day %.0f h and %.0f kWh", a.CirculationHours, a.LineLossKWh, b.CirculationHours, b.LineLossKWh)
	if a.CirculationHours < 5 || a.CirculationHours > 0.15*b.CirculationHours {
		t.Errorf("it runs for %.0f h a month", a.CirculationHours)
	}
	if a.LineLossKWh > 0.6*b.LineLossKWh {
		t.Errorf("the line loses %.0f kWh driven, and %.0f kWh all day", a.LineLossKWh, b.LineLossKWh)
	}
}

// TestADrawStartsTheCirculation: with a flow meter in the inlet, outside of its
// windows, the circulation follows the taps.
func TestADrawStartsTheCirculation(t *testing.T) {
	t.Parallel()
	s := simulatedSite(t, "long-pipes-house", "[system.output.loop_pump]", "[system.probe.draw_flow]\nkind = \"simulated\"\n\n[system.output.loop_pump]",
		`circulation_windows = "06:00 to 07:30, 19:00 to 21:00"`, `circulation_windows = "never"`)
	r, err := NewRun(s, RunOptions{Weather: weather.NorthItaly(), Start: newYear, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	ring := slices.IndexFunc(s.Plan.Outputs, func(o control.Output) bool { return o.Actuator == control.HotWaterCirculation })
	asked, ran := 0, time.Duration(0)
	for r.House.Elapsed() < 3*24*time.Hour {
		d := &r.Step().Decisions[ring]
		if d.Reason.Words == control.SaysCirculationAsked {
			asked++
		}
		if d.On() {
			ran += r.step
		}
	}
	t.Logf("ran %v in 3 days", ran)
	if asked == 0 || ran < 20*time.Minute || ran > 12*time.Hour {
		t.Errorf("asked for in %d steps, it ran for %v in 3 days", asked, ran)
	}
}

var realKind = regexp.MustCompile(`kind = "(?:one-wire|relay|level file)"\n(?:(?:identity|chip|line|file|least) = .*\n)+`)

// simulatedSite is an example site with all of its wiring simulated, and some of
// its lines written otherwise.
func simulatedSite(t testing.TB, name string, oldNew ...string) *site.Site {
	t.Helper()
	data, err := os.ReadFile("../deploy/sites/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	text := realKind.ReplaceAllString(string(data), "kind = \"simulated\"\n")
	text = strings.NewReplacer(oldNew...).Replace(text)
	s, err := site.Parse("simulated.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}
