package planner

import (
	"slices"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// emptySummerHouse is the house with a winter and one person who hardly draws,
// with more in its site file.
func emptySummerHouse(t testing.TB, more string) *site.Site {
	return changed(t, "people = 4", "people = 1", `litres_per_person = "40 l"`, `litres_per_person = "5 l"`,
		"[system.settings]", more+"[system.settings]")
}

const heatDumpOutput = "[system.output.heat_dump]\nkind = \"relay\"\nchip = \"gpiochip0\"\nline = \"GPIO5\"\n"

// TestHeatDumpSparesTheCollector: in an empty house in summer a heat dump keeps
// the collector from boiling day after day, and heats the tank no further.
func TestHeatDumpSparesTheCollector(t *testing.T) {
	t.Parallel()
	o := RunOptions{Weather: weather.NorthItaly(), Start: time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC), Step: LongestStep, Months: 1}
	without, with := yearOf(t, emptySummerHouse(t, ""), o), yearOf(t, emptySummerHouse(t, heatDumpOutput), o)
	a, b := without.Total(), with.Total()
	t.Logf("hottest collector %.0f and %.0f °C, stagnation %.0f and %.0f h, dumped %.0f kWh, hottest tank %.1f and %.1f °C",
		without.HottestCollectorC, with.HottestCollectorC, a.StagnationHours, b.StagnationHours, b.DumpedKWh, without.HottestTankC, with.HottestTankC)
	if without.HottestCollectorC < 140 || with.HottestCollectorC > 110 {
		t.Errorf("the collector reaches %.0f °C without and %.0f °C with a heat dump", without.HottestCollectorC, with.HottestCollectorC)
	}
	if with.HottestTankC > without.HottestTankC+1 || b.DumpedKWh < 50 {
		t.Errorf("the tank reaches %.1f °C without and %.1f °C with it; %.0f kWh are dumped", without.HottestTankC, with.HottestTankC, b.DumpedKWh)
	}
}

// TestStuckHeatDumpHeatsNoFullTank: a valve that leads through the coil for good
// is found by the tank, long before it is dangerous, and stays found.
func TestStuckHeatDumpHeatsNoFullTank(t *testing.T) {
	t.Parallel()
	s := emptySummerHouse(t, heatDumpOutput)
	r, err := NewRun(s, RunOptions{
		Weather: weather.NorthItaly(), Start: time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC), Seed: 1,
	})
	if err != nil {
		t.Fatal(err)
	}
	dump := slices.IndexFunc(s.Plan.Outputs, func(o control.Output) bool { return o.Actuator == control.HeatDump })
	locked, hottest := false, 0.0
	// What the valve is told does not reach it: the word goes to a part that this
	// plant has not.
	r.outputs = slices.Clone(r.outputs)
	r.outputs[dump].Actuator = control.HotWaterCirculation
	for r.House.Elapsed() < 21*24*time.Hour {
		out := r.Step()
		locked = locked || out.Decisions[dump].Reason.Words == control.SaysDumpLocked
		hottest = max(hottest, r.House.TankC(0, 1))
	}
	limit := s.Systems[0].Settings.TankLimitC
	t.Logf("hottest %.1f °C, locked %v", hottest, locked)
	if !locked || hottest > limit+6 {
		t.Errorf("the tank reaches %.1f °C, its limit is %g °C; locked: %v", hottest, limit, locked)
	}
}
