package control

import (
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"
)

// signBorder looks at one sign with everything given but one figure, which takes
// each of the values, and writes what the look says of it.
type signBorder struct {
	name   string
	kind   FindingKind
	part   int
	values []float64
	look   func(p *signPlant, x float64)
}

// signPlant is a system in the middle of a good day, to be changed by a row.
type signPlant struct {
	c *Controller
	s *system
	g glance
	m *Signs
}

// signPlan has every probe there is.
var signPlan = sync.OnceValue(func() Plan {
	return testPlan(1, ring, tempered, withProbes(LoopFlow, CoilReturn, HeaterCurrent, PumpCurrent, LoopPressure, Tap), func(p *Plan) {
		p.Systems[0].TankL = 200
	})
})

func newSignPlant(t *testing.T) *signPlant {
	p := signPlan()
	p.Systems = slices.Clone(p.Systems)
	c, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	usual := map[Place]float64{OutdoorAir: 20, Collector: 60, TankTop: 50, TankBottom: 40, CoilReturn: 45, LoopFlow: 4, HeaterCurrent: 8, PumpCurrent: 0.3, LoopPressure: 1.5, Tap: 40}
	for i, pr := range p.Probes {
		c.out.Readings[i] = Judged{Value: usual[pr.Place], Quality: Good}
	}
	s := &c.systems[0]
	s.look()
	c.st.Outputs[s.pump] = OutputState{Level: 1, InState: time.Hour}
	g := glance{span: time.Minute, pumpShare: 1, heaterRest: 5 * time.Hour, runFor: time.Hour, sunDeg: 40,
		collectorC: 60, coilC: 40, gapK: 20, gapKnown: true, meanC: 45}
	return &signPlant{c, s, g, &s.mem.Signs}
}

// rest lets the loop rest for so long.
func (p *signPlant) rest(length time.Duration) {
	p.c.st.Outputs[p.s.pump] = OutputState{Idle: length, InState: length}
	p.g.pumpShare, p.g.runFor, p.g.pumpRest = 0, 0, length
	p.g.loopRests = true
}

// heat lets the heater be on, alone.
func (p *signPlant) heat(length time.Duration) {
	p.rest(5 * time.Hour)
	p.c.st.Outputs[p.s.heater] = OutputState{Level: 1, InState: length}
	p.g.heaterShare, p.g.heaterRest = 1, 0
}

// thermostatOpensAt lets the heater's own thermostat be known to open at a top, which
// stands at 50 °C and has not risen.
func (p *signPlant) thermostatOpensAt(flatC float64) {
	p.c.findings.slots[p.c.findings.index(&p.c.plan, FoundHeaterThermostatLow, p.s.index, 0)].raised = true
	p.m.Heater = HeaterSigns{Trying: true, StartC: 50, HighC: 50, SpellLowC: 50, HotC: 50, FlatC: flatC}
}

// lost lets a reading be missing.
func (p *signPlant) lost(readings ...*Judged) {
	for _, j := range readings {
		*j = Judged{}
	}
	p.s.look()
}

// read sets collector, tank top and tank bottom.
func (p *signPlant) read(collector, top, bottom float64) {
	p.s.collector.Value, p.s.tankTop.Value, p.s.tankBottom.Value = collector, top, bottom
	p.s.look()
	p.g.collectorC, p.g.coilC, p.g.gapK, p.g.meanC = collector, bottom, collector-bottom, (top+bottom)/2
}

// says tells what the look says of a finding that stands, or of one that does not.
func (b *signBorder) says(t *testing.T, x float64, raised bool) string {
	p := newSignPlant(t)
	system := 0
	if b.kind == FoundClockWrong || b.kind == FoundWasAway {
		system = House
	}
	f := &p.c.findings
	at := f.index(&p.c.plan, b.kind, system, b.part)
	f.slots[at] = findingSlot{active: true, raised: raised}
	f.live = append(f.live, at)
	b.look(p, x)
	switch s := &f.slots[at]; {
	case s.seen > 0:
		return "present"
	case s.quiet > 0 || !s.active:
		return "absent"
	}
	return "unclear"
}

// indifferent are the rows which show that a figure does not matter.
var indifferent = []string{"collector in the dark, no outdoor probe", "hours of rest, and then by day", "0: the air is lost, 1: the collector",
	"like the air again, after the loss of 0: nothing, 1: the air, 2: the collector"}

func TestTableOfSignBorders(t *testing.T) {
	var lines []string
	for i := range signBorders {
		b := &signBorders[i]
		line := b.kind.String() + ", " + b.name + ":"
		answers := map[string]bool{}
		for _, x := range b.values {
			says, stands := b.says(t, x, false), b.says(t, x, true)
			if stands != says {
				says += " (" + stands + " while it stands)"
			}
			line += fmt.Sprintf(" %g %s,", x, says)
			answers[says] = true
		}
		if len(answers) == 1 && len(b.values) > 1 && !slices.Contains(indifferent, b.name) {
			t.Errorf("%s, %s: the same at all values, so that no border is seen; something else in the way?", b.kind, b.name)
		}
		lines = append(lines, line[:len(line)-1])
	}
	holdTable(t, "sign-borders", lines)
}

// minutes and hours say a span in a row's figure.
func minutes(x float64) time.Duration { return time.Duration(x * float64(time.Minute)) }
func hours(x float64) time.Duration   { return time.Duration(x * float64(time.Hour)) }

var signBorders = []signBorder{
	// Flow.
	{"mean of a usual 4 l/min", FoundPumpWeak, 0, []float64{1.3, 2, 2.5, 2.6, 2.7, 3.1, 3.2, 3.3, 3.9, 4.8}, func(p *signPlant, x float64) {
		p.m.Flow = FlowSigns{UsualLMin: 4, MeanLMin: x, LearnFor: 5 * time.Hour}
		p.s.loopFlow.Value = x
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"hours learned", FoundPumpWeak, 0, []float64{2.4, 4.9, 5, 5.1, 7.4, 7.6}, func(p *signPlant, x float64) {
		p.m.Flow = FlowSigns{UsualLMin: 4, MeanLMin: 2, LearnFor: hours(x) - time.Minute}
		p.s.loopFlow.Value = 2
		if x < 5.05 {
			p.g.span = time.Minute
		}
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"minutes of the run", FoundPumpWeak, 0, []float64{4, 9, 10, 14, 16, 29, 30, 31, 44, 46}, func(p *signPlant, x float64) {
		p.m.Flow = FlowSigns{UsualLMin: 4, MeanLMin: 2, LearnFor: 6 * time.Hour}
		p.s.loopFlow.Value, p.g.runFor = 2, minutes(x)
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"spread around a mean of 2 of 4 l/min", FoundLoopAir, 0, []float64{0.3, 0.6, 0.7, 0.8, 1}, func(p *signPlant, x float64) {
		p.m.Flow = FlowSigns{UsualLMin: 4, MeanLMin: 2, SpreadL: x / (1 - 1.0/30), LearnFor: 6 * time.Hour}
		p.s.loopFlow.Value = 2
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"minutes of the run, unsteady", FoundLoopAir, 0, []float64{14, 16, 29, 30, 31, 44, 46}, func(p *signPlant, x float64) {
		p.m.Flow = FlowSigns{UsualLMin: 4, MeanLMin: 2, SpreadL: 3, LearnFor: 6 * time.Hour}
		p.s.loopFlow.Value, p.g.runFor = 2, minutes(x)
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"mean of a usual 4 l/min, unsteady", FoundLoopAir, 0, []float64{1.3, 2.7, 2.8, 2.9, 3.9, 4.3}, func(p *signPlant, x float64) {
		p.m.Flow = FlowSigns{UsualLMin: 4, MeanLMin: x, SpreadL: 3, LearnFor: 6 * time.Hour}
		p.s.loopFlow.Value = x
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"flow while the tank gains", FoundFlowMeterSilent, 0, []float64{0, 0.02, 0.03, 0.04, 0.05, 0.06, 0.07, 0.08}, func(p *signPlant, x float64) {
		p.m.Loop.Running, p.m.Loop.Gained = true, true
		p.s.loopFlow.Value = x
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"flow while the tank does not gain", FoundFlowMeterSilent, 0, []float64{0, 0.05}, func(p *signPlant, x float64) {
		p.m.Loop.Running = true
		p.s.loopFlow.Value = x
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"minutes of the run, silent", FoundFlowMeterSilent, 0, []float64{4, 6, 9, 10, 11, 16}, func(p *signPlant, x float64) {
		p.m.Loop.Running, p.m.Loop.Gained = true, true
		p.s.loopFlow.Value, p.g.runFor = 0, minutes(x)
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"not in a run", FoundFlowMeterSilent, 0, []float64{10}, func(p *signPlant, x float64) {
		p.m.Loop.Gained = true
		p.s.loopFlow.Value, p.g.runFor = 0, minutes(x)
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"flow at rest, l/min", FoundFlowMeterAtRest, 0, []float64{0.05, 0.1, 0.19, 0.2, 0.21, 0.29, 0.31}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.read(30, 50, 40)
		p.m.Flow.RestFor, p.s.loopFlow.Value = time.Hour, x
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"flow at rest beside a warm collector, l/min", FoundFlowMeterAtRest, 0, []float64{0, 0.1, 0.19, 0.2, 0.25, 0.31}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.s.loopFlow.Value = x
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"minutes of flow at rest", FoundFlowMeterAtRest, 0, []float64{14, 28, 29, 30, 44, 46}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.read(30, 50, 40)
		p.m.Flow.RestFor, p.s.loopFlow.Value = minutes(x), 1
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"minutes of rest with flow", FoundFlowMeterAtRest, 0, []float64{0, 0.5, 2, 14, 16, 29, 30, 31, 44, 46}, func(p *signPlant, x float64) {
		p.rest(minutes(x))
		p.read(30, 50, 40)
		p.m.Flow.RestFor, p.s.loopFlow.Value = time.Hour, 1
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"minutes of rest without flow", FoundFlowMeterAtRest, 0, []float64{0, 0.01, 0.5, 2}, func(p *signPlant, x float64) {
		p.rest(minutes(x))
		p.s.loopFlow.Value = 0
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"collector above the tank at rest", FoundFlowMeterAtRest, 0, []float64{-1, 0, 0.5, 1}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.read(40+x, 50, 40)
		p.m.Flow.RestFor, p.s.loopFlow.Value = time.Hour, 1
		p.c.lookAtFlow(p.s, &p.g)
	}},
	{"the gap is not known", FoundFlowMeterAtRest, 0, []float64{-1}, func(p *signPlant, x float64) {
		p.rest(time.Hour)
		p.read(40+x, 50, 40)
		p.g.gapKnown = false
		p.m.Flow.RestFor, p.s.loopFlow.Value = time.Hour, 1
		p.c.lookAtFlow(p.s, &p.g)
	}},

	// Gap and coil.
	{"weeks learned", FoundPumpWeak, 0, []float64{12, 14, 24, 25, 26, 27, 38, 40}, func(p *signPlant, x float64) {
		p.lost(p.s.loopFlow)
		p.m.Gap = GapSigns{Plain: GapTrend{UsualK: 20, LateK: 40}, Lit: GapTrend{UsualK: 20, LateK: 40}, Weeks: int(x)}
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"weeks of a step", FoundPumpWeak, 0, []float64{0, 1, 2, 3, 5}, func(p *signPlant, x float64) {
		p.lost(p.s.loopFlow)
		p.m.Gap = GapSigns{Plain: GapTrend{LastK: 40, JustK: 20}, Lit: GapTrend{LastK: 40, JustK: 20}, Weeks: 10, Steps: int(x)}
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"weeks learned before a step has ended", FoundPumpWeak, 0, []float64{0, 3, 4, 5, 6, 7, 9, 25}, func(p *signPlant, x float64) {
		p.lost(p.s.loopFlow)
		p.m.Gap = GapSigns{Weeks: int(x)}
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"gap of late, of a usual one of 20 K", FoundPumpWeak, 0, []float64{10, 11, 20, 21, 22, 23.4, 23.5, 23.6, 26, 26.4, 26.6, 27, 39, 40}, func(p *signPlant, x float64) {
		p.lost(p.s.loopFlow)
		p.m.Gap = GapSigns{Plain: GapTrend{UsualK: 20, LateK: x}, Lit: GapTrend{UsualK: 20, LateK: 40}, Weeks: 26}
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"gap of late by the light, of a usual one of 20 K", FoundPumpWeak, 0, []float64{10, 20, 23.4, 23.6, 26.4, 26.6, 36}, func(p *signPlant, x float64) {
		p.lost(p.s.loopFlow)
		p.m.Gap = GapSigns{Plain: GapTrend{UsualK: 20, LateK: 40}, Lit: GapTrend{UsualK: 20, LateK: x}, Weeks: 26}
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"share that the coil takes, of 1/2", FoundCoilScaled, 0, []float64{0.17, 0.25, 0.34, 0.345, 0.35, 0.36, 0.39, 0.395, 0.4, 0.405, 0.5, 0.6}, func(p *signPlant, x float64) {
		p.m.Gap = GapSigns{CoilShare: x, CoilBest: 0.5, CoilFor: 20 * time.Hour}
		p.s.coilReturn.Value = 60 - 20*x
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"hours of the coil learned", FoundCoilScaled, 0, []float64{9.9, 10.1, 19.9, 20, 20.1, 29.9, 30.1}, func(p *signPlant, x float64) {
		p.m.Gap = GapSigns{CoilShare: 0.2, CoilBest: 0.5, CoilFor: hours(x) - time.Minute}
		p.s.coilReturn.Value = 56
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"gap at which the coil is looked at", FoundCoilScaled, 0, []float64{4, 5, 9, 10, 11, 14, 16}, func(p *signPlant, x float64) {
		p.read(40+x, 50, 40)
		p.m.Gap = GapSigns{CoilShare: 0.2, CoilBest: 0.5, CoilFor: 25 * time.Hour}
		p.c.lookAtGap(p.s, &p.g)
	}},
	{"minutes of the run", FoundCoilScaled, 0, []float64{7, 8, 14, 15, 16, 22, 23}, func(p *signPlant, x float64) {
		p.m.Gap = GapSigns{CoilShare: 0.2, CoilBest: 0.5, CoilFor: 25 * time.Hour}
		p.g.runFor = minutes(x)
		p.c.lookAtGap(p.s, &p.g)
	}},

	// Night.
	{"collector above air of 20 °C", FoundReverseCirculation, 0, []float64{2, 3, 4.5, 5, 5.5, 7.5, 8, 8.5, 12, 12.5}, func(p *signPlant, x float64) {
		p.night(20+x, 50, 40)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"collector, with air of 2 °C", FoundReverseCirculation, 0, []float64{6, 10, 11.5, 12, 12.5, 18}, func(p *signPlant, x float64) {
		p.night(x, 50, 40)
		p.s.outdoor.Value = 2
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"hottest of the tank, with a collector of 30 °C", FoundReverseCirculation, 0, []float64{27, 28, 28.5, 29}, func(p *signPlant, x float64) {
		p.night(30, x, 20)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"hours of rest", FoundReverseCirculation, 0, []float64{0.9, 1.1, 1.9, 2, 2.1, 2.9, 3.1}, func(p *signPlant, x float64) {
		p.night(30, 50, 40)
		p.g.pumpRest = hours(x)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"coil above air of 20 °C, collector cold", FoundReverseCirculation, 0, []float64{7, 8, 14.5, 15, 15.5, 22, 23}, func(p *signPlant, x float64) {
		p.night(20, 50, 20+x)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"collector above a coil of 40 °C", FoundReverseCirculation, 0, []float64{-8.5, -8, -7.5, -6.5, -6, -5.5, -4.5, -4, -3.5, -2, -1.5, 0, 0.25, 0.5, 0.75, 1.5}, func(p *signPlant, x float64) {
		p.night(40+x, 50, 40)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"collector above a coil of 40 °C for hours", FoundPumpRelayStuck, 0, []float64{-9, -8.5, -8, -7.5, -6.5, -6, -5.5, -4.5, -4, -3.5, -2, -1.5, 0, 0.25, 0.5, 0.75, 1.5}, func(p *signPlant, x float64) {
		p.night(40+x, 50, 40)
		p.lost(p.s.pumpCurrent)
		p.m.Night.NearFor = 2 * time.Hour
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"minutes of a collector as warm as the tank", FoundPumpRelayStuck, 0, []float64{28, 30, 58, 59, 60, 88, 90}, func(p *signPlant, x float64) {
		p.night(40, 50, 40)
		p.lost(p.s.pumpCurrent)
		p.m.Night.NearFor = minutes(x)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"coil above air of 20 °C, collector as warm as it", FoundPumpRelayStuck, 0, []float64{14, 15, 15.5, 22, 23}, func(p *signPlant, x float64) {
		p.night(20+x, 50, 20+x)
		p.lost(p.s.pumpCurrent)
		p.m.Night.NearFor = 2 * time.Hour
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"current at rest, A", FoundPumpRelayStuck, 0, []float64{0, 0.01, 0.0199, 0.02, 0.021, 0.03}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.s.pumpCurrent.Value = x
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"current at rest of a collector as warm as the tank, A", FoundPumpRelayStuck, 0, []float64{0, 0.03}, func(p *signPlant, x float64) {
		p.night(40, 50, 40)
		p.m.Night.NearFor, p.s.pumpCurrent.Value = 2*time.Hour, x
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"seconds of rest with current", FoundPumpRelayStuck, 0, []float64{30, 59, 60, 89, 90}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.g.pumpRest = time.Duration(x) * time.Second
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"gap learned over nights", FoundCollectorDrifts, 0, []float64{1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5, 6, 6.5}, func(p *signPlant, x float64) {
		p.m.Night = NightSigns{GapK: x, Nights: 7}
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"gap learned over nights", FoundOutdoorWarm, 0, []float64{-16, -15, -14.5, -10.5, -10, -9.5, -9, -8.5, -8, -5, -4.5}, func(p *signPlant, x float64) {
		p.m.Night = NightSigns{GapK: x, Nights: 7}
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"nights learned", FoundCollectorDrifts, 0, []float64{3, 4, 6, 7, 10, 11}, func(p *signPlant, x float64) {
		p.m.Night = NightSigns{GapK: 9, Nights: int(x)}
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"sun below the horizon", FoundClockWrong, 0, []float64{-19, -18, -13, -12, -11, -6, -5}, func(p *signPlant, x float64) {
		p.deepNight(x)
		p.read(90, 50, 40)
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"collector, with air of 20 °C and a tank of 10 °C", FoundClockWrong, 0, []float64{27, 28, 34, 35, 36, 42, 43}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.read(x, 10, 10)
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"collector, with air of 10 °C and a tank of 50 °C, 40 °C", FoundClockWrong, 0, []float64{52, 53, 54, 55, 56, 57, 58}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.read(x, 50, 40)
		p.s.outdoor.Value = 10
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"collector, with air of 10 °C and a tank of 40 °C", FoundClockWrong, 0, []float64{44, 45, 46, 49, 50, 51, 55, 56}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.read(x, 40, 40)
		p.s.outdoor.Value = 10
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"minutes that the collector stands still", FoundClockWrong, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.read(90, 50, 40)
		p.s.collectorProbe.Same = minutes(x)
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"seconds of trouble of the collector", FoundClockWrong, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.read(90, 50, 40)
		p.s.collectorProbe.Trouble = time.Duration(x) * time.Second
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"minutes of sun in deep night", FoundClockWrong, 0, []float64{1, 14, 16, 29, 30, 44, 46}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.m.Night.SunFor = minutes(x - 1)
		p.read(90, 50, 40)
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"0: sun in deep night, 1: by no known clock, 2: with no tank to compare it with", FoundClockWrong, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.deepNight(-20)
		p.read(90, 50, 40)
		p.c.sky.known, p.g.gapKnown = x != 1, x != 2
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"sun's height by day, then deep night without sun", FoundClockWrong, 0, []float64{9, 10, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.deepNight(x)
		p.c.st.House.SunByDay = false
		p.read(90, 50, 40)
		p.c.lookForSunInTheNight(p.s, &p.g)
		seen := p.c.st.House.SunByDay
		p.deepNight(-20)
		p.c.st.House.SunByDay = seen
		p.read(20, 50, 40)
		p.c.lookForSunInTheNight(p.s, &p.g)
	}},
	{"collector by day, in air of 20 °C, then deep night without sun", FoundClockWrong, 0, []float64{27, 28, 34, 35, 36, 42, 43}, func(p *signPlant, x float64) {
		p.oneDay(x)
	}},
	{"the same (0), by its backflow (1) and by its pump (2)", FoundClockWrong, 0, []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.c.findings.slots[p.c.findings.index(&p.c.plan, FoundReverseCirculation, 0, 0)].raised = x == 1
		p.c.findings.slots[p.c.findings.index(&p.c.plan, FoundPumpRelayStuck, 0, 0)].raised = x == 2
		p.oneDay(40)
	}},
	{"hours of a cold roof, with a cold tank", FoundReverseCirculation, 0, []float64{3.9, 4.1, 7.9, 8, 11.9, 12.1}, func(p *signPlant, x float64) {
		p.night(20, 30, 22)
		p.m.Night.ColdFor = hours(x) - time.Minute
		p.c.lookForWarmRoof(p.s, &p.g)
	}},
	{"collector, in air of 20 °C after nights of a cold roof", FoundReverseCirculation, 0, []float64{22, 24, 24.9, 25, 27.9, 28, 30}, func(p *signPlant, x float64) {
		p.night(x, 30, 22)
		p.m.Night.ColdFor = 10 * time.Hour
		p.c.lookForWarmRoof(p.s, &p.g)
	}},
}

// deepNight is an hour at which the sun is known to stand at a height, after half
// an hour of sun and days on which it came at its time.
func (p *signPlant) deepNight(sunDeg float64) {
	p.c.sky.known, p.g.sunDeg = true, sunDeg
	p.m.Night.SunFor, p.c.st.House.SunByDay = sunInTheNightFor-p.g.span, true
}

// oneDay is noon with the collector at a temperature, below that of the tank, and
// then a deep night without sun.
func (p *signPlant) oneDay(collectorC float64) {
	p.deepNight(30)
	p.c.st.House.SunByDay = false
	p.read(collectorC, 60, 45)
	p.c.lookForSunInTheNight(p.s, &p.g)
	lit := p.c.st.House.SunByDay
	p.deepNight(-20)
	p.c.st.House.SunByDay = lit
	p.read(20, 60, 45)
	p.c.lookForSunInTheNight(p.s, &p.g)
}

// night is a dark hour with the loop at rest.
func (p *signPlant) night(collector, top, bottom float64) {
	p.rest(5 * time.Hour)
	p.g.dark, p.g.sunDeg = true, -20
	p.read(collector, top, bottom)
}
