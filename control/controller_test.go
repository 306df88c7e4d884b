package control

import (
	"bytes"
	"encoding/json"
	"math"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// anyReading draws readings as a house has them, with all that can be wrong.
func anyReading(rt *rapid.T) Reading {
	r := Reading{Value: rapid.Float64Range(-40, 150).Draw(rt, "value")}
	switch rapid.IntRange(0, 9).Draw(rt, "kind") {
	case 0:
		r.Fault = "no answer"
	case 1:
		r.Age = 10 * time.Minute
	case 2:
		r.Value = math.NaN()
	case 3:
		r.Value = rapid.Float64().Draw(rt, "wild")
	}
	return r
}

// anyStep draws one step's inputs, and now and then what a person asks of the
// controllers, which are of one plan.
func anyStep(rt *rapid.T, readings []Reading, controllers ...*Controller) (time.Duration, Wall) {
	for i := range readings {
		if rapid.IntRange(0, 3).Draw(rt, "change") == 0 {
			readings[i] = anyReading(rt)
		}
	}
	if len(controllers) > 0 && rapid.IntRange(0, 20).Draw(rt, "override") == 0 {
		output := rapid.IntRange(0, len(controllers[0].plan.Outputs)-1).Draw(rt, "output")
		level := rapid.SampledFrom([]float64{0, 0.4, 1}).Draw(rt, "level")
		length := time.Duration(rapid.IntRange(0, 600).Draw(rt, "seconds")) * time.Second
		for _, c := range controllers {
			_ = c.Override(output, level, length)
		}
	}
	wish, hours := rapid.IntRange(0, 99).Draw(rt, "wish"), rapid.IntRange(0, 4).Draw(rt, "hours")
	for _, c := range controllers {
		switch wish {
		case 0:
			_ = c.Boost(0, time.Duration(hours)*time.Hour)
		case 1:
			_ = c.Holiday(time.Duration(hours) * time.Hour)
		case 2:
			c.SetServicing(!c.Servicing())
		}
	}
	return time.Duration(rapid.IntRange(0, 60).Draw(rt, "elapsed")) * time.Second,
		Wall{Time: time.Unix(rapid.Int64Range(0, 4e9).Draw(rt, "wall"), 0), Trusted: rapid.Bool().Draw(rt, "trusted")}
}

// TestInvariants: whatever comes in, these hold in every step.
func TestInvariants(t *testing.T) { rapid.Check(t, anyHours) }

// FuzzReadings is TestInvariants led by what has not been reached yet.
func FuzzReadings(f *testing.F) { f.Fuzz(rapid.MakeFuzz(anyHours)) }

// anyPlant draws a plant with some of all that there is: loops with and without
// a pump, speeds, circulation, heat dump, supply limit, observing.
func anyPlant(rt *rapid.T) change {
	has := func(name string) bool { return rapid.Bool().Draw(rt, name) }
	return func(p *Plan) {
		p.Systems[1].WaterFilled = has("water")
		for i := range p.Systems {
			s := &p.Systems[i]
			s.Tempered = has("tempering valve")
			s.Settings.OffPeakWindows = Windows{{0, 6 * 60}}
			s.Settings.NightCoolingC = rapid.SampledFrom([]float64{0, 65}).Draw(rt, "night cooling")
			s.Settings.PumpSavingPercent = rapid.SampledFrom([]float64{0, 100}).Draw(rt, "pump saving")
			s.Settings.HygieneInterval = rapid.SampledFrom([]time.Duration{0, time.Hour, 24 * time.Hour}).Draw(rt, "hygiene")
		}
		if has("circulation") {
			ring(p)
		}
		if has("heat dump") {
			dumped(p)
		}
		if has("speeds") {
			speeds(p)
		}
		if has("natural") {
			p.Systems[0].Loop = Natural
			p.Outputs = slices.DeleteFunc(p.Outputs, func(o Output) bool {
				return o.System == 0 && (o.Actuator == LoopPump || o.Actuator == HeatDump)
			})
		}
		p.SupplyW = rapid.SampledFrom([]float64{0, 1500, 2500, 5000}).Draw(rt, "supply")
		p.ObserveOnly = rapid.IntRange(0, 9).Draw(rt, "observe") == 0
	}
}

// anyHours steps a house of two systems through whatever may come.
func anyHours(rt *rapid.T) {
	c, err := New(testPlan(2, anyPlant(rt)))
	if err != nil {
		rt.Fatal(err)
	}
	readings := make([]Reading, len(c.plan.Probes))
	for i := range readings {
		readings[i] = anyReading(rt)
	}
	var seen witness
	for range rapid.IntRange(1, 120).Draw(rt, "steps") {
		elapsed, wall := anyStep(rt, readings, c)
		seen.begin(c, elapsed)
		if what := seen.broken(c.Step(elapsed, wall, readings)); what != "" {
			rt.Fatal(what)
		}
	}
}

// TestRestoredControllerGoesOnTheSame: a controller that is saved and restored
// into a new one decides the same as one that never stopped.
func TestRestoredControllerGoesOnTheSame(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		plan := testPlan(2, anyPlant(rt))
		make1 := func() *Controller {
			c, err := New(plan)
			if err != nil {
				rt.Fatal(err)
			}
			return c
		}
		a, b := make1(), make1()
		readings := make([]Reading, len(a.plan.Probes))
		for range rapid.IntRange(1, 60).Draw(rt, "steps") {
			elapsed, wall := anyStep(rt, readings, a, b)
			outA, _ := json.Marshal(a.Step(elapsed, wall, readings))
			outB, _ := json.Marshal(b.Step(elapsed, wall, readings))
			if !bytes.Equal(outA, outB) {
				rt.Fatalf("decisions differ:\n%s\n%s", outA, outB)
			}
			saved, err := b.SaveState()
			if err != nil {
				rt.Fatal(err)
			}
			b = make1()
			if err := b.RestoreState(saved); err != nil {
				rt.Fatal(err)
			}
			again, err := b.SaveState()
			if err != nil || !bytes.Equal(saved, again) {
				rt.Fatalf("restored state differs (%v):\n%s\n%s", err, saved, again)
			}
		}
	})
}

func TestStateOfAnotherHouse(t *testing.T) {
	d := newDesk(t).settled()
	if err := d.c.Override(outHeater, 0, time.Hour); err != nil {
		t.Fatal(err)
	}
	saved, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	bigger, err := New(testPlan(2))
	if err != nil {
		t.Fatal(err)
	}
	if err := bigger.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	if bigger.Service() != d.c.Service() || bigger.OverrideOf(outHeater).Left != time.Hour {
		t.Error("what both houses have was not taken over")
	}
	if bigger.st.Systems[1].System != "annexe" || bigger.st.Outputs[3].System != "annexe" {
		t.Error("what is new lost its name")
	}
	bigger.Step(time.Second, noon, nil)
}

func TestBadStateIsRefused(t *testing.T) {
	for name, state := range map[string]string{
		"empty":             ``,
		"no JSON":           `{"version":`,
		"another version":   `{"version":99}`,
		"wrong kinds":       `{"version":1,"outputs":"all"}`,
		"negative duration": `{"version":1,"service_ns":-5}`,
		"level":             `{"version":1,"outputs":[{"level":7}]}`,
		"endless override":  `{"version":1,"overrides":[{"left_ns":9000000000000000}]}`,
		"absurd reading":    `{"version":1,"probes":[{"last":1e300}]}`,
	} {
		d := newDesk(t).settled()
		before, _ := d.c.SaveState()
		if err := d.c.RestoreState([]byte(state)); err == nil {
			t.Errorf("%s: no error", name)
		}
		after, _ := d.c.SaveState()
		if !bytes.Equal(before, after) {
			t.Errorf("%s: changed the controller", name)
		}
	}
}

func TestRestartedControllerRestsAndSettlesFirst(t *testing.T) {
	d := newDesk(t)
	d.set(20, 60, 50, 30)
	d.settled()
	d.expect(outPump, true, SaysLoopGains)
	saved, _ := d.c.SaveState()
	d2 := newDesk(t)
	if err := d2.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	d2.c.Restarted()
	d2.set(20, 60, 50, 30)
	d2.run(time.Second)
	d2.expect(outPump, false, SaysLoopNoCollector)
	d2.run(time.Minute)
	d2.expect(outPump, false, SaysMinimumRest)
	d2.run(2 * time.Minute)
	d2.expect(outPump, true, SaysLoopGains)
	if on := d2.c.Output(outPump).On; on <= d.c.Output(outPump).On {
		t.Errorf("run time %v does not go on from %v", on, d.c.Output(outPump).On)
	}
}

func TestPlansThatCantBe(t *testing.T) {
	for name, spoil := range map[string]change{
		"no system":            func(p *Plan) { p.Systems = nil; p.Probes = nil; p.Outputs = nil },
		"two of a name":        func(p *Plan) { p.Systems[1].Name = p.Systems[0].Name },
		"nameless":             func(p *Plan) { p.Systems[0].Name = "" },
		"probe twice":          func(p *Plan) { p.Probes[2] = p.Probes[1] },
		"probe of no system":   func(p *Plan) { p.Probes[1].System = 5 },
		"collector of a house": func(p *Plan) { p.Probes[1].System = House },
		"no such place":        func(p *Plan) { p.Probes[1].Place = numPlaces },
		"output twice":         func(p *Plan) { p.Outputs[1] = p.Outputs[0] },
		"output of no system":  func(p *Plan) { p.Outputs[1].System = House },
		"no such actuator":     func(p *Plan) { p.Outputs[1].Actuator = numActuators },
	} {
		if _, err := New(testPlan(2, spoil)); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestStepAllocatesNothing and the benchmark below keep the step cheap enough
// for a year of simulation.
func TestStepAllocatesNothing(t *testing.T) {
	for name, changes := range map[string][]change{
		"the usual": {}, "all there is": {ring, dumped, speeds, cheapNights, func(p *Plan) { p.SupplyW = 2500 }},
	} {
		c, err := New(testPlan(2, changes...))
		if err != nil {
			t.Fatal(err)
		}
		d := &desk{t: t, c: c, wall: breakfast, readings: make([]Reading, len(c.plan.Probes))}
		for _, collectorC := range []float64{20, 60, 95} {
			d.set(20, collectorC, 35+collectorC/3, 30)
			d.settled()
			if n := testing.AllocsPerRun(1000, func() { d.c.Step(time.Second, d.wall, d.readings) }); n != 0 {
				t.Errorf("%s, collector at %g °C: %g allocations a step", name, collectorC, n)
			}
		}
	}
}

// TestTwoDaysAllocateNothing: dusk, night, dawn and noon, with all that is looked
// at once a minute or once a day, once the lists have grown to their length. Weeks
// went before, so that what is learned over months is looked at too.
func TestTwoDaysAllocateNothing(t *testing.T) {
	c, err := New(testPlan(2, ring, dumped, speeds, cheapNights, sure(99), withProbes(CoilReturn, LoopFlow, LoopPressure, PumpCurrent, HeaterCurrent, Tap), func(p *Plan) {
		p.SupplyW = 2500
		for i := range p.Systems {
			p.Systems[i].TankL = 200
		}
	}))
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, c: c, wall: winter, readings: make([]Reading, len(c.plan.Probes))}
	usual := map[Place]float64{CoilReturn: 30, LoopFlow: 2, LoopPressure: 1.5, PumpCurrent: 0.3, HeaterCurrent: 8, Tap: 45}
	at := func(d *desk, day int, hour float64) {
		sunny(20)(d, day, hour)
		for i, pr := range c.plan.Probes[4:] {
			value, is := usual[pr.Place]
			if !is && pr.Place <= TankBottom {
				value = d.readings[1+int(pr.Place)].Value
			}
			d.readings[4+i] = Reading{Value: value}
		}
	}
	d.days(60, at)
	if n := testing.AllocsPerRun(1, func() { d.days(2, at) }); n != 0 {
		t.Errorf("two days make %g allocations", n)
	}
}

func BenchmarkStep(b *testing.B) {
	spared := func(d *desk) {
		for i := range d.c.plan.Systems {
			d.c.plan.Systems[i].Settings.PumpSavingPercent = 100
			d.c.st.Systems[i].Saving = PumpSaving{GoodSunK: 12, RanFor: goodSunKnown}
		}
	}
	for _, tc := range []struct {
		name    string
		systems int
		spoil   func(*desk)
	}{
		{"one system", 1, func(*desk) {}},
		{"one system, pump spared", 1, spared},
		{"one system, a probe dead", 1, func(d *desk) { d.fail(atTop) }},
		{"two systems", 2, func(*desk) {}},
		{"two systems, pumps spared", 2, spared},
	} {
		b.Run(tc.name, func(b *testing.B) {
			c, err := New(testPlan(tc.systems, func(p *Plan) {
				for i := range p.Systems {
					p.Systems[i].Settings.HygieneInterval = 0 // millions of steps would bring it overdue
				}
			}))
			if err != nil {
				b.Fatal(err)
			}
			d := &desk{t: b, c: c, wall: noon, readings: make([]Reading, len(c.plan.Probes))}
			for i, pr := range c.plan.Probes {
				d.readings[i].Value = map[Place]float64{OutdoorAir: 15, Collector: 60, TankTop: 55, TankBottom: 40}[pr.Place]
			}
			d.run(5 * time.Minute)
			tc.spoil(d)
			d.run(5 * time.Minute)
			b.ReportAllocs()
			wall := d.wall
			for b.Loop() {
				wall.Time = wall.Time.Add(time.Second)
				c.Step(time.Second, wall, d.readings)
			}
		})
	}
}

// TestNoClockMakesTimeOverflow: a step is believed to be a day at most, and what is
// counted stays within what a saved state may hold.
func TestNoClockMakesTimeOverflow(t *testing.T) {
	for _, elapsed := range []time.Duration{math.MinInt64, -1, 0, LongestStep, LongestStep + 1, math.MaxInt64} {
		d := newDesk(t)
		for range 100 {
			d.c.Step(elapsed, d.wall, d.readings)
		}
		if got, want := d.c.Service(), 100*min(max(0, elapsed), 24*time.Hour); got != want {
			t.Errorf("after 100 steps of %v: %v of service, want %v", elapsed, got, want)
		}
		saved, err := d.c.SaveState()
		if err != nil {
			t.Fatal(err)
		}
		if err := d.c.RestoreState(saved); err != nil {
			t.Errorf("after steps of %v: %v", elapsed, err)
		}
	}
}
