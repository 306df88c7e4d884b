package control

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func (d *desk) reading(probe int) Judged { return d.out.Readings[probe] }

func (d *desk) expectReading(probe int, q Quality, says Words, value float64) {
	d.t.Helper()
	j := d.reading(probe)
	if j.Quality != q || j.Why.Words != says || math.Abs(j.Value-value) > 1e-9 {
		d.t.Errorf("reading %d: %s %g because %q, want %s %g because %q", probe, j.Quality, j.Value, j.Why, q, value, says.Key())
	}
}

func TestFirstValuesSettle(t *testing.T) {
	d := newDesk(t)
	d.run(10 * time.Second)
	d.expectReading(atTop, Suspect, SaysSettling, 40)
	d.run(15 * time.Second)
	d.expectReading(atTop, Good, SaysNothing, 40)
}

// TestPowerOnValue: one sample of 85 °C is the content of a probe that was
// just powered up. It must not be taken; a tank that reaches 85 °C must be.
func TestPowerOnValue(t *testing.T) {
	d := newDesk(t).settled()
	d.readings[atTop].Value = 85
	d.run(2 * time.Second)
	d.expectReading(atTop, Good, SaysNothing, 40) // the last good value stands in
	d.readings[atTop].Value = 40.1
	d.run(2 * time.Second)
	d.expectReading(atTop, Good, SaysNothing, 40.1)
	for v := 40.1; v < 85; v += 0.5 {
		d.readings[atTop].Value = v
		d.run(2 * time.Second)
		d.expectReading(atTop, Good, SaysNothing, v)
	}
	d.readings[atTop].Value = 85
	d.run(2 * time.Second)
	d.expectReading(atTop, Good, SaysNothing, 85)
}

func TestNewLevelIsBelievedInTime(t *testing.T) {
	d := newDesk(t).settled()
	d.readings[atBottom].Value = 12 // a big draw of cold water beside the probe
	d.run(20 * time.Second)
	d.expectReading(atBottom, Good, SaysNothing, 30)
	d.run(2 * time.Second)
	d.expectReading(atBottom, Good, SaysNothing, 12)
}

func TestUnsteadyJumpsAreNotBelieved(t *testing.T) {
	d := newDesk(t).settled()
	for i := range 600 {
		d.readings[atTop].Value = []float64{60, 85, 20}[i%3]
		d.run(time.Second)
	}
	if top := d.reading(atTop); top.OK() {
		t.Errorf("a reading that jumps about is %s", d.reading(atTop).Quality)
	}
	d.expectFinding(FoundProbeJumps, true)
}

func TestBadReadings(t *testing.T) {
	for name, tc := range map[string]struct {
		r    Reading
		q    Quality
		says Words
		v    float64
	}{
		"not a number":       {Reading{Value: math.NaN()}, Missing, SaysNoAnswer, 0},
		"infinite":           {Reading{Value: math.Inf(-1)}, Missing, SaysNoAnswer, 0},
		"driver fault":       {Reading{Value: 41, Fault: "bad checksum"}, Missing, SaysNoAnswer, 0},
		"too old":            {Reading{Value: 41, Age: time.Minute}, Missing, SaysTooOld, 41},
		"from the future":    {Reading{Value: 41, Age: -time.Second}, Missing, SaysNoAnswer, 0},
		"below what can be":  {Reading{Value: -40}, Suspect, SaysOutOfRange, -40},
		"above what can be":  {Reading{Value: 140}, Suspect, SaysOutOfRange, 140},
		"absurd":             {Reading{Value: 1e300}, Suspect, SaysOutOfRange, 1e300},
		"fine, as a control": {Reading{Value: 41}, Good, SaysNothing, 41},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t).settled()
			d.readings[atTop] = tc.r
			d.run(45 * time.Second)
			d.expectReading(atTop, tc.q, tc.says, tc.v)
			d.readings[atTop] = Reading{Value: 41}
			d.run(45 * time.Second)
			d.expectReading(atTop, Good, SaysNothing, 41)
		})
	}
}

func TestReadingsThatWereNotHandedOver(t *testing.T) {
	d := newDesk(t).settled()
	for range 60 {
		d.out = d.c.Step(time.Second, d.wall, d.readings[:2])
	}
	d.expectReading(atTop, Missing, SaysNoAnswer, 0)
	d.expectReading(atCollector, Good, SaysNothing, 20)
}

func TestFrozenReading(t *testing.T) {
	d := newDesk(t).settled()
	flicker := func(hours int, moving bool) {
		for i := range hours * 60 {
			swing := 0.0
			if moving {
				swing = 15 * math.Sin(float64(i)/200)
			}
			d.readings[atOutdoor].Value = 20 + swing + 0.06*float64(i%2)
			d.readings[atTop].Value = 40 + 0.06*float64(i%2)
			d.readings[atBottom].Value = 30 + 0.06*float64(i%2)
			d.run(time.Minute)
		}
	}
	flicker(13, false)
	d.expectReading(atCollector, Good, SaysNothing, 20) // nothing moved, so it proves nothing
	flicker(13, true)
	if j := d.reading(atCollector); j.Quality != Suspect || j.Why.Words != SaysFrozenReading {
		t.Errorf("collector stood still for 26 h and is %s: %s", j.Quality, j.Why)
	}
	d.expectFinding(FoundProbeFrozen, true)
	d.readings[atCollector].Value = 20.0625
	d.run(time.Minute)
	d.expectReading(atCollector, Good, SaysNothing, 20.0625)
}

// TestADoubtOutlastsTheOutdoorProbe: a shorted collector stays doubted when the
// outdoor probe that has shown it is lost, and runs no frost protection in summer and
// short watch runs in the cold season; what reads no frost any more is believed.
func TestADoubtOutlastsTheOutdoorProbe(t *testing.T) {
	for season, wall := range map[string]Wall{"summer": noon, "winter": winter} {
		t.Run(season, func(t *testing.T) {
			d := newDesk(t, eager, waterFilled)
			d.wall = wall
			d.set(10, -30, 40, 30)
			d.settled()
			d.fail(atOutdoor)
			d.run(20 * time.Minute)
			if j := d.reading(atCollector); j.Quality != Suspect || j.Why != because(SaysColderThanSky, -30, 10) {
				t.Errorf("the collector is %s: %s", j.Quality, j.Why)
			}
			on, _ := d.onSeconds(outPump, time.Hour)
			if wall == noon && on > 0 || on > 15*60 {
				t.Errorf("the pump ran %d s in an hour by a shorted probe", on)
			}
			d.expectFinding(FoundProbeColderThanSky, true)
			d.expectFinding(FoundFrostBlind, wall == winter)
			d.readings[atCollector].Value = -0.0625
			d.run(time.Minute)
			if d.reading(atCollector).Quality != Suspect {
				t.Error("frost is believed of it")
			}
			d.readings[atCollector].Value = 0
			d.run(time.Minute)
			d.expectReading(atCollector, Good, SaysNothing, 0)
		})
	}
}

// TestADoubtEndsWithTheOutdoorProbesPlace: a site file that names no outdoor probe any
// more leaves nothing to doubt a collector by.
func TestADoubtEndsWithTheOutdoorProbesPlace(t *testing.T) {
	d := newDesk(t, withoutProbe(OutdoorAir))
	d.readings = []Reading{{Value: -30}, {Value: 40}, {Value: 30}}
	d.settled()
	d.c.st.Systems[0].BelowSky = true
	d.run(time.Second)
	if j := d.reading(0); !j.OK() {
		t.Errorf("the collector is %s: %s", j.Quality, j.Why)
	}
}

// TestALostNeighbourProvesNothing: a tank top that was found frozen is not believed
// because the collector, whose day has proven it, can't be read any more; and its
// heater stays off.
func TestALostNeighbourProvesNothing(t *testing.T) {
	d := newDesk(t, eager)
	for i := range 13 * 60 {
		d.set(20+0.06*float64(i%2), 25+float64(i%120)/10, 40, 30+0.06*float64(i%2))
		d.run(time.Minute)
	}
	d.expectReading(atTop, Suspect, SaysFrozenReading, 40)
	d.wall = evening
	d.fail(atCollector)
	d.run(15 * time.Minute)
	if top := d.reading(atTop); top.OK() {
		t.Error("a frozen tank top is believed again once its neighbour is lost")
	}
	d.expect(outHeater, false, SaysHeaterNoReading)
	d.expectFinding(FoundProbeFrozen, true)
	d.readings[atTop].Value = 40.0625
	d.run(time.Minute)
	d.expectReading(atTop, Good, SaysNothing, 40.0625)
}

// TestHowLongAReadingMayStandStill: as the text of frozen_after says it.
func TestHowLongAReadingMayStandStill(t *testing.T) {
	day := func(p *Plan) {
		p.Settings.FrozenAfter, p.Systems[0].Settings.FrozenAfter = 20*time.Hour, 24*time.Hour
	}
	c := newDesk(t, day).c
	for probe, want := range map[int]watch{
		atOutdoor:   {frozenAfter: 20 * time.Hour, movesK: 10},
		atCollector: {frozenAfter: 24 * time.Hour, movesK: 5},
		atTop:       {frozenAfter: 24 * time.Hour, movesK: 10},
		atBottom:    {frozenAfter: 6 * time.Hour, movesK: 10, mover: &c.st.Outputs[outPump]},
	} {
		if w := &c.watches[probe]; w.frozenAfter != want.frozenAfter || w.movesK != want.movesK || w.mover != want.mover {
			t.Errorf("%s: after %v, when its neighbour has moved by %g K, while an output runs: %v", c.plan.Probes[probe].Place.Words(), w.frozenAfter, w.movesK, w.mover != nil)
		}
	}
}

// TestOneRootCauseIsOneFinding: a dead bus is one finding, not one a probe.
func TestOneRootCauseIsOneFinding(t *testing.T) {
	d := newDesk(t).settled()
	d.wall = noon
	for i := range d.readings {
		d.fail(i)
	}
	d.run(5 * time.Minute)
	if len(d.out.Findings) != 1 || d.out.Findings[0].Kind != FoundAllProbesSilent {
		t.Errorf("findings %+v, want the one of the bus", d.out.Findings)
	}
	for i := range d.out.Decisions {
		if d.out.Decisions[i].On() {
			t.Errorf("output %d is on with no probe answering", i)
		}
	}
	d.set(20, 20, 40, 30)
	d.run(5 * time.Minute)
	if len(d.out.Findings) != 0 {
		t.Errorf("findings %+v after all is well again", d.out.Findings)
	}
}

// TestNoSingleSampleSwitches: whatever one sample says, the decisions of that
// step are those of the step before. Readings of before are steady, so nothing
// else moves them.
func TestNoSingleSampleSwitches(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		d := newDesk(t, waterFilled, eager)
		d.wall = evening
		d.set(20, rapid.Float64Range(10, 100).Draw(rt, "collector"), 40, 30)
		d.run(3 * time.Minute)
		before := []float64{d.out.Decisions[outPump].Level, d.out.Decisions[outHeater].Level}
		probe := rapid.IntRange(0, 3).Draw(rt, "probe")
		was := d.readings[probe].Value
		v := rapid.Float64Range(-300, 300).Draw(rt, "value")
		lim := placeLimits[d.c.plan.Probes[probe].Place]
		if math.Abs(v-was) <= lim.step+lim.ratePerS {
			return // metal and water can do that
		}
		d.readings[probe].Value = v
		d.run(time.Second)
		for i, level := range before {
			if d.out.Decisions[i].Level != level {
				rt.Errorf("output %d switched by one sample: %s", i, d.out.Decisions[i].Reason)
			}
		}
	})
}

// TestSamplesAreToldApart by their ages, if these are 10 ms apart or more: less is
// the same sample, asked twice.
func TestSamplesAreToldApart(t *testing.T) {
	set := DefaultSettings()
	for _, tc := range []struct {
		between time.Duration
		is      time.Duration
	}{{9 * time.Millisecond, time.Second}, {10 * time.Millisecond, 990 * time.Millisecond}} {
		for name, value := range map[string]float64{"near": 50.0625, "far": 90} {
			m := ProbeState{Known: true, Last: 50, Sample: time.Second}
			r := Reading{Value: value, Age: time.Second - tc.between}
			if name == "near" {
				m.accept(&Judged{}, &r)
			} else {
				m.believes(&r, &placeLimits[TankTop], &set)
			}
			if m.Sample != tc.is {
				t.Errorf("%s the last value, %v younger: the sample is %v old, want %v", name, tc.between, m.Sample, tc.is)
			}
		}
	}
}
