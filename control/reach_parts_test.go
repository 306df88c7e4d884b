package control

import (
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// section is a part of a house: outputs, and the readings that their rules look at.
type section struct {
	outputs []Actuator
	places  []Place
}

var (
	heaterPart = section{[]Actuator{BackupHeater}, []Place{TankTop, TankBottom}}
	topsPart   = section{[]Actuator{BackupHeater}, []Place{TankTop}}
	pumpPart   = section{[]Actuator{LoopPump, HeatDump}, []Place{OutdoorAir, Collector, TankTop, TankBottom}}
	ringPart   = section{[]Actuator{HotWaterCirculation}, []Place{TankTop, CirculationReturn, DrawFlow, CirculationButton}}
)

// partOf is a house that has nothing but a part of it.
func partOf(p Plan, of section) Plan {
	p.Probes = slices.DeleteFunc(slices.Clone(p.Probes), func(pr Probe) bool { return !slices.Contains(of.places, pr.Place) })
	p.Outputs = slices.DeleteFunc(slices.Clone(p.Outputs), func(o Output) bool { return !slices.Contains(of.outputs, o.Actuator) })
	return p
}

// TestPartsDecideAlone: whatever comes in, a part of a house decides by itself as
// it does in the whole, with the same words. So all states of the parts are all
// states of the house, as far as decisions go. The heaters of a house are one part,
// since they may share a supply or heat the same water. What was learned of sun and
// draws is the whole's: the walk takes it as it may come.
func TestPartsDecideAlone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		whole := anyWhole(rt)
		make1 := func(plan Plan) *Controller {
			c, err := New(plan)
			if err != nil {
				rt.Fatal(err)
			}
			return c
		}
		house := make1(whole)
		var parts []*Controller
		for _, of := range []section{heaterPart, pumpPart, ringPart} {
			parts = append(parts, make1(partOf(whole, of)))
		}
		readings := make([]Reading, len(whole.Probes))
		for range rapid.IntRange(1, 120).Draw(rt, "steps") {
			elapsed, wall := anyStep(rt, readings)
			askAll(rt, append(parts, house))
			learnAll(rt, append(parts, house))
			out := house.Step(elapsed, wall, readings)
			for _, c := range parts {
				its := make([]Reading, len(c.plan.Probes))
				for i, pr := range c.plan.Probes {
					its[i] = readings[slices.Index(whole.Probes, pr)]
				}
				alone := c.Step(elapsed, wall, its)
				for i, o := range c.plan.Outputs {
					got, want := &alone.Decisions[i], &out.Decisions[slices.Index(whole.Outputs, o)]
					if got.Level != want.Level || got.Rank != want.Rank || got.Reason != want.Reason {
						rt.Fatalf("%s: alone %g because %s, in the house %g because %s", o.Actuator.Words(), got.Level, got.Reason, want.Level, want.Reason)
					}
				}
			}
		}
	})
}

// anyWhole draws a house of one system or two, with all that the parts are about.
func anyWhole(rt *rapid.T) Plan {
	has := func(name string) bool { return rapid.Bool().Draw(rt, name) }
	return testPlan(rapid.IntRange(1, 2).Draw(rt, "systems"), ring, dumped, tempered, withTank, func(p *Plan) {
		if has("water") {
			waterFilled(p)
		}
		if has("regulated") {
			speeds(p)
		}
		if has("spared") {
			spared(p)
		}
		if has("waits for the sun") {
			sure(95)(p)
		} else {
			cheapNights(p)
		}
		if len(p.Systems) > 1 {
			p.DrawsInSeries = has("tanks in series")
			p.SupplyW = rapid.SampledFrom([]float64{0, 2500}).Draw(rt, "supply")
		}
	})
}

// learnAll lets something be learned of a house, the last of all, and by its parts.
// What the house has learned of sun and draws, and plans by it, is handed to its parts,
// which do not see all that it sees.
func learnAll(rt *rapid.T, all []*Controller) {
	house := all[len(all)-1]
	for i := range house.st.Systems {
		what := rapid.IntRange(0, 30).Draw(rt, "what is learned")
		heats := rapid.Bool().Draw(rt, "the heater must help")
		for _, c := range all {
			m := &c.st.Systems[i]
			switch what {
			case 0:
				m.SunFirst.Draws.Days = [dayKinds]float64{habitDays, habitDays}
			case 1, 2:
				m.SunFirst.Planned, m.SunFirst.Heat = true, heats
			case 3:
				m.Saving.RanFor, m.Saving.GoodSunK = goodSunKnown, 39
			case 4:
				m.Signs.Pocket.TopStuck = !m.Signs.Pocket.TopStuck
			}
		}
		for _, c := range all {
			c.st.Systems[i].SunFirst = house.st.Systems[i].SunFirst
		}
	}
}

// askAll draws what a person asks of a house, and of its parts as far as they have
// the output.
func askAll(rt *rapid.T, all []*Controller) {
	actuator := Actuator(rapid.IntRange(0, int(numActuators)-1).Draw(rt, "actuator"))
	level := float64(rapid.IntRange(0, 1).Draw(rt, "level"))
	length := time.Duration(rapid.IntRange(0, 900).Draw(rt, "seconds")) * time.Second
	wish := rapid.IntRange(0, 60).Draw(rt, "what is asked")
	for _, c := range all {
		switch output := c.plan.outputOf(0, actuator); {
		case wish == 0 && output != none:
			_ = c.Override(output, level, length)
		case wish == 1:
			_ = c.Boost(0, length)
		case wish == 2:
			_ = c.Holiday(length)
		case wish == 3:
			c.SetServicing(!c.Servicing())
		}
	}
}
