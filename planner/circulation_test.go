package planner

import (
	"slices"
	"testing"

	"sunstoker/control"
	"sunstoker/sim/weather"
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
