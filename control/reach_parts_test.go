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
// states of the house, as far as decisions go.
func TestPartsDecideAlone(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		whole := testPlan(1, ring, dumped, cheapNights, tempered, func(p *Plan) {
			if p.Systems[0].WaterFilled = rapid.Bool().Draw(rt, "water"); p.Systems[0].WaterFilled {
				p.Systems[0].FreezingPointC = 0
			}
			if rapid.Bool().Draw(rt, "regulated") {
				speeds(p)
			}
		})
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
