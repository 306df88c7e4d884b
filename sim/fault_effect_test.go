package sim

import (
	"fmt"
	"testing"
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/plant"
)

// scene is the day on which a kind of fault shows itself.
type scene struct {
	system         int      // 1 is a store of loop fluid
	probe          string   // for faults of probes
	startC         float64  // tank in the morning; zero for the usual
	fromStart      bool     // the fault is there from the start on, not from 6 h on; it ends at 18 h
	also           []string // faults that both houses have all day
	heaterOff      bool
	restingPump    bool
	circulationOff bool
	dumps          bool // the heat dump is asked for all day
	staysTripped   bool // until a person resets it
}

// scenes are the kinds that do not show on the usual day: a sunny one, with
// people at home, a difference switch on the pump and the heater in use.
var scenes = map[string]scene{
	"check valve stuck open":            {startC: 60},
	"heater relay welded":               {startC: 35, heaterOff: true},
	"heater thermostat welded":          {startC: 60, also: []string{"heater relay welded"}, staysTripped: true},
	"heater cut-out bridged":            {startC: 60, also: []string{"heater relay welded", "heater thermostat welded"}},
	"heater thermostat set high":        {startC: 60, also: []string{"heater relay welded"}, staysTripped: true},
	"probe in the sun":                  {probe: "outdoors"},
	"probe on a warm wall":              {probe: "outdoors"},
	"heater cut-out tripped":            {staysTripped: true},
	"tank relief valve blocked":         {startC: 94, also: []string{"heater relay welded", "heater thermostat welded", "heater cut-out bridged"}},
	"drinking-water coil scaled":        {system: 1},
	"store leaks":                       {system: 1},
	"tempering valve stuck hot":         {startC: 75},
	"tempering valve stuck cold":        {startC: 75},
	"loop relief valve stuck shut":      {startC: 75, fromStart: true, restingPump: true, also: []string{"expansion vessel lost its cushion"}},
	"flow meter stuck at zero":          {probe: "flow"},
	"flow meter counts at rest":         {probe: "flow"},
	"outputs on at start":               {startC: 35},
	"heater element without water":      {startC: 35},
	"heater contactor does not close":   {startC: 35},
	"heater earth leak":                 {startC: 35},
	"heater element open":               {startC: 35},
	"heater element scaled":             {startC: 35},
	"heater thermostat set low":         {startC: 40},
	"circulation pump runs always":      {circulationOff: true},
	"heat dump valve stuck shut":        {dumps: true},
	"expansion vessel lost its cushion": {restingPump: true},
}

// twoSystems is a house with a pumped plant with circulation and a store of loop
// fluid.
func twoSystems(t *testing.T, sc scene) *House {
	t.Helper()
	c := sunnyHouse(t)
	profile, err := household.TappingProfile("L")
	if err != nil {
		t.Fatal(err)
	}
	c.Household = profile
	first, second := c.Systems[0], c.Systems[0]
	first.Plant.Circulation = plant.TypicalCirculation()
	first.Plant.HeatDumpWK = 60
	second.Name, second.Plant = "store", plant.TypicalStore()
	first.Plant.StartC, second.Plant.StartC = 50, 50
	if sc.startC > 0 {
		first.Plant.StartC = sc.startC
	}
	c.Systems = []System{first, second}
	c.Probes = append(c.Probes, ProbeConfig{Name: "flow", Place: "loop_flow"}, ProbeConfig{Name: "pressure", Place: "loop_pressure"})
	for _, name := range sc.also {
		c.Faults = append(c.Faults, Fault{Name: name})
	}
	return build(t, c)
}

// drive is a plain difference switch and a heater that is on or off.
func (sc scene) drive(h *House) {
	for i := range h.systems {
		level := 0.0
		if h.Truth(i).CollectorC > h.TankC(i, 0.2)+6 && !sc.restingPump {
			level = 1
		}
		h.SetPump(i, level)
		h.SetHeater(i, !sc.heaterOff && h.TankC(i, 0.85) < 60)
		h.SetCirculation(i, !sc.circulationOff)
		h.SetHeatDump(i, sc.dumps)
	}
}

// seen is all that can be told about a house from outside.
func seen(h *House) string {
	wall, trusted := h.Clock()
	text := fmt.Sprint(wall, trusted, h.Storage(), h.BoardC(), h.MainsOn(), h.Usage(), h.Truth(0), h.Truth(1))
	for _, p := range h.probes {
		value, ok := p.Read(h.Elapsed())
		text += fmt.Sprint(" ", value, ok)
	}
	return text
}

// Every kind of fault shows in the plant, in the readings or in what the board
// sees within the day it is switched on, not before, and is gone when it ends.
func TestEveryFaultHasItsEffect(t *testing.T) {
	for _, kind := range FaultKinds() {
		sc := scenes[kind.Name]
		begins, ends := 6*time.Hour, 18*time.Hour
		if sc.fromStart {
			begins = 0
		}
		f := Fault{Name: kind.Name, System: sc.system, Start: begins, Duration: ends - begins}
		if kind.OfProbe() {
			f.System, f.Probe = 0, "collector"
			if sc.probe != "" {
				f.Probe = sc.probe
			}
		}
		if kind.swaps {
			f.Other = "tank top"
		}
		sound, broken := twoSystems(t, sc), twoSystems(t, sc)
		if err := broken.AddFault(f); err != nil {
			t.Fatal(err)
		}
		shown := false
		for broken.Elapsed() < 24*time.Hour && (!shown || broken.Elapsed() <= ends) {
			for _, h := range []*House{sound, broken} {
				sc.drive(h)
				h.Step(20 * time.Second)
			}
			if at := broken.Elapsed(); at%(5*time.Minute) == 20*time.Second && seen(sound) != seen(broken) {
				if at <= begins {
					t.Errorf("%s: shows at %v, before it begins", kind.Name, at)
				}
				shown = true
			}
		}
		if !shown {
			t.Errorf("%s: nothing shows it", kind.Name)
		}
		broken.Step(time.Minute)
		if broken.broken != sound.broken {
			t.Errorf("%s: the house is not sound again: %+v", kind.Name, broken.broken)
		}
		for i := range broken.systems {
			if got, want := broken.systems[i].plant.Damage, sound.systems[i].plant.Damage; got != want {
				t.Errorf("%s: system %d is not sound again: %+v", kind.Name, i, got)
			}
		}
		for _, p := range broken.probes {
			truth := p.truth()
			if got, ok := p.Read(broken.Elapsed()); !ok || got < truth-UsualStepK || got > truth+UsualStepK {
				if p.config.Lag == 0 {
					t.Errorf("%s: probe %s reads %g, %v at %g", kind.Name, p.config.Name, got, ok, truth)
				}
			}
		}
		if wall, trusted := broken.Clock(); !trusted || !wall.Equal(broken.Now()) || !broken.MainsOn() {
			t.Errorf("%s: clock %v trusted %v, mains %v", kind.Name, wall, trusted, broken.MainsOn())
		}
		if tripped := broken.Truth(0).CutOutOpen; tripped != sound.Truth(0).CutOutOpen && !sc.staysTripped {
			t.Errorf("%s: cut-out open %v", kind.Name, tripped)
		}
		checkLoopHeals(t, kind.Name, broken)
	}
}

// checkLoopHeals lets a person refill the loop in the evening; then the pump
// moves it as on the first day.
func checkLoopHeals(t *testing.T, name string, h *House) {
	t.Helper()
	h.ClearFaults()
	h.Advance(30 * time.Hour)
	if !h.RefillLoop(0) {
		t.Errorf("%s: the loop is too hot at 6 in the morning", name)
	}
	h.ResetCutOut(0)
	h.SetPump(0, 1)
	h.Step(2 * time.Minute)
	tr := h.Truth(0)
	if !tr.PumpTurns || tr.FlowKgS < 0.06 || tr.LoopPressurePa < 2e5 || tr.Hazards.Burst || tr.CutOutOpen {
		t.Errorf("%s: afterwards %+v", name, tr)
	}
}

func TestClockFaults(t *testing.T) {
	c := sunnyHouse(t)
	c.Faults = []Fault{
		{Name: "clock not set", Duration: time.Hour},
		{Name: "clock wrong", Start: 2 * time.Hour, Duration: time.Hour, Amount: new(-26.0)},
		{Name: "clock jumps", Start: 4 * time.Hour, Duration: 4 * time.Hour, Amount: new(3.0)},
	}
	h := build(t, c)
	for _, want := range []struct {
		at      time.Duration
		off     time.Duration
		trusted bool
	}{{30 * time.Minute, 0, false}, {90 * time.Minute, 0, true}, {150 * time.Minute, -26 * time.Hour, true}, {270 * time.Minute, 3 * time.Hour, true}, {330 * time.Minute, 0, true}, {390 * time.Minute, 3 * time.Hour, true}, {9 * time.Hour, 0, true}} {
		h.Advance(want.at)
		wall, trusted := h.Clock()
		if trusted != want.trusted || trusted && !wall.Equal(h.Now().Add(want.off)) {
			t.Errorf("at %v: %v, trusted %v", want.at, wall, trusted)
		}
		if !trusted && wall.Year() != 1970 {
			t.Errorf("a clock that was never set says %v", wall)
		}
	}
}

func TestPowerCutDrivesNothing(t *testing.T) {
	c := sunnyHouse(t)
	c.Faults = []Fault{{Name: "mains power cut"}, {Name: "pump relay welded"}, {Name: "heater relay welded"}}
	h := build(t, c)
	h.SetPump(0, 1)
	h.SetHeater(0, true)
	h.Advance(time.Hour)
	if tr := h.Truth(0); tr.PumpTurns || tr.Heating || h.MainsOn() || h.Book(0).PumpJ+h.Book(0).HeaterJ != 0 {
		t.Errorf("%+v", tr)
	}
}
