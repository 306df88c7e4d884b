package sim

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
)

// sunnyHouse has the same clear June day every day, nobody at home and three
// probes.
func sunnyHouse(t testing.TB) Config {
	t.Helper()
	w, err := weather.NewScripted(weather.Place{LatitudeDeg: 45, LongitudeDeg: 8, AltitudeM: 250},
		[]weather.Moment{{At: 5 * time.Hour, AirC: 12}, {At: 15 * time.Hour, AirC: 26}})
	if err != nil {
		t.Fatal(err)
	}
	c := usualHouse(t, w)
	c.Household = nil
	c.Start = time.Date(2025, 6, 10, 0, 0, 0, 0, time.UTC)
	c.Probes = []ProbeConfig{
		{Name: "collector", Place: "collector", StepK: UsualStepK},
		{Name: "tank top", Place: "tank_top", StepK: UsualStepK},
		{Name: "outdoors", Place: "outdoor_air", Lag: 10 * time.Minute},
	}
	return c
}

const (
	morning = 9 * time.Hour
	noon    = 12 * time.Hour
	evening = 20 * time.Hour
)

// Each kind of plant fault leaves its mark on the truth, and the plant is sound
// again when it ends.
func TestPlantFaultsHaveTheirEffect(t *testing.T) {
	for name, c := range map[string]struct {
		pump, heater float64
		amount       *float64
		broken       func(tr plant.Truth) bool
	}{
		"pump does not turn":     {pump: 1, broken: func(tr plant.Truth) bool { return !tr.PumpTurns && tr.FlowKgS == 0 }},
		"pump relay welded":      {broken: func(tr plant.Truth) bool { return tr.PumpTurns && tr.FlowKgS > 0.05 }},
		"flow blocked":           {pump: 1, amount: new(0.9), broken: func(tr plant.Truth) bool { return tr.PumpTurns && tr.FlowKgS < 0.01 }},
		"check valve stuck shut": {pump: 1, broken: func(tr plant.Truth) bool { return tr.PumpTurns && tr.FlowKgS == 0 }},
		"heater relay welded":    {broken: func(tr plant.Truth) bool { return tr.Heating }},
		"heater element open":    {heater: 1, broken: func(tr plant.Truth) bool { return !tr.Heating }},
		"check valve stuck open": {broken: func(tr plant.Truth) bool { return tr.FlowKgS != 0 && !tr.PumpTurns }},
		"shade on the collector": {amount: new(1.0), broken: func(tr plant.Truth) bool { return tr.CollectorC < 40 }},
		"tempering valve stuck hot": {broken: func(tr plant.Truth) bool {
			return tr.AtTapC > 55
		}},
	} {
		config := sunnyHouse(t)
		config.Systems[0].Plant.StartC = 60
		if strings.HasPrefix(name, "heater") {
			config.Systems[0].Plant.StartC = 20 // below what the thermostat allows
		}
		config.Faults = []Fault{{Name: name, Start: morning, Duration: 3 * time.Hour, Amount: c.amount}}
		h := build(t, config)
		h.SetPump(0, c.pump)
		h.SetHeater(0, c.heater > 0)
		h.Advance(morning)
		h.Step(time.Second)
		h.Advance(noon - time.Minute)
		if got := h.Truth(0); !c.broken(got) {
			t.Errorf("%s: no sign of it in %+v", name, got)
		}
		if active := h.ActiveFaults(nil); len(active) != 1 || active[0].Name != name {
			t.Errorf("%s: active faults %+v", name, active)
		}
		h.Advance(noon + 2*time.Minute)
		if h.systems[0].plant.Damage != (plant.Damage{}) || len(h.ActiveFaults(nil)) != 0 {
			t.Errorf("%s: not repaired: %+v", name, h.systems[0].plant.Damage)
		}
	}
}

// Every barrier that fails brings the next one to act: thermostat, cut-out,
// relief valve.
func TestOverheatingGoesFromBarrierToBarrier(t *testing.T) {
	hottest := func(names ...string) float64 {
		c := sunnyHouse(t)
		for _, n := range append(names, "heater relay welded") {
			c.Faults = append(c.Faults, Fault{Name: n})
		}
		h := build(t, c)
		most := 0.0
		for h.Elapsed() < 4*24*time.Hour {
			h.Step(time.Minute)
			most = math.Max(most, h.Truth(0).HottestC)
		}
		return most
	}
	// The thermostat feels the water beside the element; what has risen from it
	// is a little hotter.
	near(t, "thermostat", hottest(), 71, 2)
	near(t, "cut-out", hottest("heater thermostat welded"), 85, 1)
	near(t, "relief valve", hottest("heater thermostat welded", "heater cut-out bridged"), 95, 1)
	if got := hottest("heater thermostat welded", "heater cut-out bridged", "tank relief valve blocked"); got < 110 {
		t.Errorf("with every barrier gone the tank stays at %g", got)
	}
}

func TestOverlappingFaultsEndEachInItsOwnTime(t *testing.T) {
	c := sunnyHouse(t)
	c.Faults = []Fault{
		{Name: "shade on the collector", Start: 1 * time.Hour, Duration: 4 * time.Hour, Amount: new(0.3)},
		{Name: "shade on the collector", Start: 2 * time.Hour, Duration: 1 * time.Hour, Amount: new(0.9)},
		{Name: "pump relay welded", Start: 2 * time.Hour},
	}
	h := build(t, c)
	for _, want := range []struct {
		at     time.Duration
		shade  float64
		welded bool
	}{{30 * time.Minute, 0, false}, {90 * time.Minute, 0.3, false}, {150 * time.Minute, 0.9, true}, {4 * time.Hour, 0.3, true}, {6 * time.Hour, 0, true}} {
		h.Advance(want.at)
		h.Step(time.Second)
		if d := h.systems[0].plant.Damage; d.Shade != want.shade || d.PumpWelded != want.welded {
			t.Errorf("at %v: %+v", want.at, d)
		}
	}
	h.ClearFaults()
	if h.systems[0].plant.Damage != (plant.Damage{}) {
		t.Error("not all was repaired")
	}
}

func TestProbeFaults(t *testing.T) {
	h := build(t, sunnyHouse(t))
	collector, err := h.Probe("collector")
	if err != nil {
		t.Fatal(err)
	}
	read := func() float64 {
		v, ok := collector.Read(h.Elapsed())
		if !ok {
			return math.NaN()
		}
		return v
	}
	breakIt := func(name string, amount *float64) {
		h.ClearFaults()
		if err := h.AddFault(Fault{Name: name, Probe: "collector", Amount: amount}); err != nil {
			t.Fatal(err)
		}
		h.Step(time.Second)
	}
	h.Advance(morning)
	last := read()
	near(t, "sound", last, h.Truth(0).CollectorC, UsualStepK/2+1e-9)

	breakIt("probe frozen", nil)
	h.Advance(noon)
	near(t, "frozen", read(), last, 0)
	if h.Truth(0).CollectorC < last+5 {
		t.Fatal("the collector did not move; the test shows nothing")
	}
	breakIt("probe frozen", new(42.5))
	near(t, "frozen at a value", read(), 42.5, 0)
	breakIt("probe shorted", new(0.0))
	near(t, "shorted at zero", read(), 0, 0)
	breakIt("probe shorted", nil)
	near(t, "shorted", read(), 85, 0)
	breakIt("probe missing", nil)
	if _, ok := collector.Read(h.Elapsed()); ok {
		t.Error("a missing probe gave a reading")
	}
	breakIt("probe pulled out", nil)
	near(t, "pulled out", read(), h.Sky().AirC, UsualStepK)
	breakIt("probe off by", new(-7.0))
	near(t, "off", read(), h.Truth(0).CollectorC-7, UsualStepK)

	breakIt("probe noisy", new(10.0))
	sum, square := 0.0, 0.0
	for range 4000 {
		d := read() - h.Truth(0).CollectorC
		sum += d / 4000
		square += d * d / 4000
	}
	near(t, "mean of the noise", sum, 0, 0.7)
	near(t, "size of the noise", math.Sqrt(square), 10, 0.5)

	h.ClearFaults()
	if err := h.AddFault(Fault{Name: "probe drifts", Probe: "collector", Start: h.Elapsed(), Amount: new(2.0)}); err != nil {
		t.Fatal(err)
	}
	h.Advance(h.Elapsed() + 36*time.Hour)
	near(t, "drift", read(), h.Truth(0).CollectorC+3, UsualStepK)
	h.ClearFaults()
	near(t, "repaired", read(), h.Truth(0).CollectorC, UsualStepK)
}

func TestBadFaults(t *testing.T) {
	h := build(t, sunnyHouse(t))
	for want, f := range map[string]Fault{
		`no fault "pump sad"`: {Name: "pump sad"},
		"may be negative":     {Name: "pump does not turn", Start: -1},
		"no system 3":         {Name: "pump does not turn", System: 3},
		"not to the probe":    {Name: "pump does not turn", Probe: "collector"},
		`no probe "chimney"`:  {Name: "probe missing", Probe: "chimney"},
		`no probe ""`:         {Name: "probe missing"},
		"share of the light":  {Name: "shade on the collector", Amount: new(1.5)},
		"give -300":           {Name: "probe shorted", Probe: "collector", Amount: new(math.NaN())},
		"has no amount":       {Name: "pump does not turn", Amount: new(1.0)},
		"second probe as":     {Name: "probes swapped", Probe: "collector", Other: "collector"},
		"no second probe":     {Name: "probe missing", Probe: "collector", Other: "tank top"},
		"or the house":        {Name: "clock not set", Probe: "collector"},
	} {
		if err := h.AddFault(f); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error about %q, got %v", want, err)
		}
	}
}

// breaks is how many kinds of thing a kind of fault breaks.
func breaks(k FaultKind) (n int) {
	for _, does := range []bool{k.breakPlant != nil, k.breakProbe != nil, k.breakHouse != nil} {
		if does {
			n++
		}
	}
	return n
}

// The table is complete: each row names itself once, says what it means and
// breaks one thing.
func TestFaultTableIsWhole(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range FaultKinds() {
		if k.Name == "" || seen[k.Name] || k.Meaning == "" || breaks(k) != 1 {
			t.Errorf("row %+v", k)
		}
		seen[k.Name] = true
		if k.Amount != "" && !(k.Least < k.Most) {
			t.Errorf("%s: the amount has no range", k.Name)
		}
	}
}
