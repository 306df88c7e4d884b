package control

import (
	"testing"
	"time"
)

// At the borders of the rules for what few plants have: on this side and on that.

func TestBordersOfADemand(t *testing.T) {
	for name, tc := range map[string]struct {
		probe int
		value float64
		fails bool
		asks  bool
	}{
		"a trickle":                       {atDraw, 0.45, false, false},
		"a draw":                          {atDraw, 0.5, false, true},
		"a button half pressed":           {atButton, 0.45, false, false},
		"a button pressed":                {atButton, 0.5, false, true},
		"a draw meter that stops to tell": {atDraw, 0, true, false},
		"a button that stops to tell":     {atButton, 0, true, false},
	} {
		d := ringDesk(t, noon)
		if d.readings[tc.probe].Value = tc.value; tc.fails {
			d.fail(tc.probe)
		}
		d.run(3 * time.Second)
		if on := d.out.Decisions[outRing].On(); on != tc.asks {
			t.Errorf("%s: on %v", name, on)
		}
	}
}

func TestBordersOfTheReturn(t *testing.T) {
	d := ringDesk(t, breakfast)
	d.set(20, 20, 44, 40)
	d.readings[atReturn].Value = 38.5
	d.run(time.Minute)
	d.expect(outRing, true, SaysCirculationWindow)
}

func TestBordersOfTheHeatedRing(t *testing.T) {
	d := ringDesk(t, noon)
	d.readings[atReturn].Value = 50
	d.c.st.Systems[0].LineLeft = 30 * time.Minute
	d.set(20, 20, 50, 40)
	d.run(29 * time.Minute)
	d.expect(outRing, true, SaysCirculationHygiene)
	d.readings[atReturn].Value = 25
	d.c.st.Systems[0].LineLeft = 30 * time.Minute
	d.set(20, 20, 49.5, 40)
	d.run(time.Minute)
	d.expect(outRing, false, SaysCirculationOutside)
}

func TestBordersOfFullSpeed(t *testing.T) {
	slow := func(collector, top, bottom float64) *desk {
		d := newDesk(t, speeds, eager, func(p *Plan) { p.Systems[0].Settings.TargetDifferenceK = 30 })
		d.set(20, collector, top, bottom)
		d.settled()
		d.run(10 * time.Minute)
		return d
	}
	// The collector, near its ceiling of 110 °C less the bands of 10 K and 15 K.
	d := slow(84.5, 60, 60)
	d.expectLevel(outPump, 0.3, 0.99, SaysLoopSlowed)
	for _, tc := range []struct {
		collector float64
		full      bool
	}{{85, true}, {80.5, true}, {79.5, false}} {
		d.set(20, tc.collector, 60, 60)
		d.run(2 * time.Minute)
		if full := d.out.Decisions[outPump].Reason.Words == SaysLoopFull; full != tc.full {
			t.Errorf("collector at %g °C: full %v", tc.collector, full)
		}
	}
	// The tank, at its limit of 70 °C less the band of 3 K.
	d = slow(74, 66.9, 60)
	d.expectLevel(outPump, 0.3, 0.99, SaysLoopSlowed)
	for _, tc := range []struct {
		top  float64
		full bool
	}{{67, true}, {66.25, true}, {65.9, false}} {
		d.set(20, 74, tc.top, 60)
		d.run(2 * time.Minute)
		if full := d.out.Decisions[outPump].Reason.Words == SaysLoopFull; full != tc.full {
			t.Errorf("tank at %g °C: full %v", tc.top, full)
		}
	}
}

func TestBordersOfTheFirstMinute(t *testing.T) {
	d := newDesk(t, speeds)
	d.set(20, 39, 40, 30)
	d.settled()
	begun := d.c.Output(outPump).InState
	d.set(20, 33.5, 40, 30)
	d.run(fullAtRun - begun + 12*time.Second)
	d.expectLevel(outPump, 0.95, 0.985, SaysLoopSlowed)
}

func TestBordersOfAStuckHeatDump(t *testing.T) {
	d := hotAfternoon(t)
	d.set(30, 95, 70, 65)
	d.run(5 * time.Minute)
	d.set(30, 95, 71.75, 65)
	d.run(5 * time.Minute)
	d.expect(outPump, true, SaysDumpPumps)
	d.set(30, 95, 72, 65)
	d.run(time.Minute)
	d.expect(outDump, false, SaysDumpLocked)
}

func TestBordersOfTankFrost(t *testing.T) {
	for _, tc := range []struct {
		top, bottom float64
		heats       bool
	}{{3, 15, true}, {3, 15.5, false}, {9, 1.25, false}, {9, 1, true}, {4.25, 3, false}} {
		d := newDesk(t, eager, noFloor)
		d.wall = winter
		d.set(-8, -8, tc.top, tc.bottom)
		d.settled()
		if on := d.out.Decisions[outHeater].On(); on != tc.heats {
			t.Errorf("top %g °C, bottom %g °C: heats %v", tc.top, tc.bottom, on)
		}
	}
}

// A stuck heat dump is locked for a day; and at 5 K above the limit nothing is tried.
func TestBordersOfAHeatDumpsLock(t *testing.T) {
	for rested, locked := range map[time.Duration]bool{dumpLock - 2*time.Second: true, dumpLock - time.Second: false, dumpLock: false} {
		d := hotAfternoon(t)
		m := &d.c.st.Systems[0]
		m.DumpLocked, m.DumpRest = true, rested
		d.run(time.Second)
		if m.DumpLocked != locked {
			t.Errorf("locked for %v and a second: locked %v", rested, m.DumpLocked)
		}
	}
	for _, tc := range []struct {
		hottest float64
		says    Words
	}{{74.9, SaysDump}, {75, SaysDumpTooHot}} {
		d := hotAfternoon(t)
		d.set(30, 95, 72, 65)
		d.run(time.Second)
		d.set(30, 95, tc.hottest, 65)
		d.run(time.Second)
		if got := d.out.Decisions[outDump].Votes; (len(got) > 0) != (tc.says == SaysDump) || len(got) == 0 && d.c.ballots[outDump].idle.Reason.Words != tc.says {
			t.Errorf("tank at %g °C: votes %v, else %s", tc.hottest, got, d.c.ballots[outDump].idle.Reason)
		}
	}
}

func TestBordersOfAWarmRoofAtNight(t *testing.T) {
	for _, tc := range []struct {
		was     bool
		gapK    float64
		rested  time.Duration
		doubted bool
	}{
		{true, 2.0625, 0, true}, {true, 2, 0, false},
		{false, 3.0625, darkAfter, true}, {false, 3, darkAfter, false},
		{false, 3.0625, darkAfter - time.Second, false}, {false, 2.5, darkAfter, false},
	} {
		d := newDesk(t, waterFilled)
		d.wall = winter
		d.set(10, 10+tc.gapK, 50, 40)
		d.settled()
		m := &d.c.st.Systems[0]
		m.FrostTooWarm = tc.was
		// The rule looks before the step is added to the pump's rest.
		d.c.st.Outputs[outPump].Idle = tc.rested
		d.run(time.Second)
		if m.FrostTooWarm != tc.doubted {
			t.Errorf("%+v: doubted %v", tc, m.FrostTooWarm)
		}
	}
}

func TestBordersOfTheFirstFullMinute(t *testing.T) {
	for ran, full := range map[time.Duration]bool{fullAtRun - time.Second: true, fullAtRun: false} {
		d := newDesk(t, speeds)
		d.set(20, 33.5, 40, 30)
		d.settled()
		d.c.st.Systems[0].LoopWanted, d.c.st.Systems[0].PumpSpeed = true, 0.5
		o := &d.c.st.Outputs[outPump]
		o.Level, o.InState, o.Idle = 0.5, ran, 0
		d.run(time.Second)
		if got := d.out.Decisions[outPump].Level == 1; got != full {
			t.Errorf("%v into its run: at full %v", ran, got)
		}
	}
}

// TestBordersOfACollectorThatStandsStill: 20 min of running, and a tank that has
// moved by 2 K.
func TestBordersOfACollectorThatStandsStill(t *testing.T) {
	for _, tc := range []struct {
		ran     time.Duration
		movedK  float64
		doubted bool
	}{
		{stillPatience - time.Second, 2, true}, {stillPatience - 2*time.Second, 2, false},
		{stillPatience, 1.9375, false}, {stillPatience, 2, true},
	} {
		d := newDesk(t, eager)
		d.set(20, 60, 50, 30)
		d.settled()
		m := &d.c.st.Systems[0]
		m.StillRun, m.StillLowC, m.StillHighC = tc.ran, 30, 30+tc.movedK
		d.run(time.Second)
		if got := d.out.Readings[atCollector].Why.Words == SaysStillWhilePumped; got != tc.doubted {
			t.Errorf("%+v: doubted %v", tc, got)
		}
	}
}

// TestBordersOfALostTankProbe: what it said last stands for six hours.
func TestBordersOfALostTankProbe(t *testing.T) {
	for silent, seen := range map[time.Duration]bool{0: true, time.Second: false, unseenPatience - time.Second: false, unseenPatience: true} {
		d := newDesk(t).settled()
		s := &d.c.systems[0]
		s.bottomProbe.Silent = silent
		if got := s.tankSeen(); got != seen {
			t.Errorf("silent for %v: seen %v", silent, got)
		}
	}
}

// TestBordersOfAHeatDumpAtRest: of a tank 5 K above its limit the reason is the
// tank, below that the collector, which is not hot.
func TestBordersOfAHeatDumpAtRest(t *testing.T) {
	for hottest, says := range map[float64]Words{74.9: SaysDumpNotHot, 75: SaysDumpTooHot} {
		d := hotAfternoon(t)
		d.set(30, 85, 72.5, 65)
		d.run(time.Second)
		d.set(30, 85, hottest, 65)
		d.run(time.Second)
		if got := d.c.ballots[outDump].idle.Reason; got.Words != says {
			t.Errorf("tank at %g °C: %s", hottest, got)
		}
	}
}

// TestWhatAPersonStopsKeepsNoSupply: not even inside its minimum run.
func TestWhatAPersonStopsKeepsNoSupply(t *testing.T) {
	d := shared(t, 3000, func(p *Plan) {
		eachSystem(p, func(s *System) { s.Settings.HeaterMinimumRun = 5 * time.Minute })
	})
	d.settled()
	d.expect(outAnnexeHeater, true, SaysHeaterCold)
	if err := d.c.Override(outAnnexeHeater, 0, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outAnnexeHeater, false, SaysOverride)
	d.expect(outHeater, true, SaysHeaterCold)
}

// TestBordersOfALockedHeater: it is locked when its budget is spent, and tried for
// as long as heats the whole tank by 5 K, or for half an hour: 300 l take 1 kW
// 300 x 5 x 4180 J / 1 kW = 104.5 min.
func TestBordersOfALockedHeater(t *testing.T) {
	for left, locked := range map[time.Duration]bool{2 * time.Second: false, time.Second: true} {
		d := newDesk(t, eager)
		d.wall = evening
		d.settled()
		d.expect(outHeater, true, SaysHeaterCold)
		m := &d.c.st.Systems[0]
		m.HeaterEffort = d.c.systems[0].heatBudget - left
		d.run(time.Second)
		if m.HeaterLocked != locked {
			t.Errorf("%v left a second ago: locked %v", left, m.HeaterLocked)
		}
	}
	for _, tc := range []struct {
		litres, watts float64
		want          time.Duration
	}{{20, 2000, 30 * time.Minute}, {100, 2000, 30 * time.Minute}, {300, 1000, 104*time.Minute + 30*time.Second}} {
		d := newDesk(t, func(p *Plan) { p.Systems[0].TankL, p.Systems[0].HeaterW = tc.litres, tc.watts })
		if got := d.c.systems[0].heaterTry(); got != tc.want {
			t.Errorf("%g l and %g W are tried for %v, want %v", tc.litres, tc.watts, got, tc.want)
		}
	}
}

// TestNoExerciseWhereNoneIsSet: not even of a pump that has stood for months.
func TestNoExerciseWhereNoneIsSet(t *testing.T) {
	for after, turned := range map[time.Duration]bool{0: false, 72 * time.Hour: true} {
		d := newDesk(t, eager, func(p *Plan) { p.Systems[0].Settings.ExerciseAfter = after })
		d.wall = winter
		d.set(5, 5, 40, 30)
		d.settled()
		d.c.st.Outputs[outPump].Idle = 100 * 24 * time.Hour
		d.run(10 * time.Second)
		if on := d.out.Decisions[outPump].On(); on != turned {
			t.Errorf("exercise_after %v: turned over %v", after, on)
		}
	}
}

// TestNoFloorIsNoFloor: a tank of ice has its frost protection, and asks for no
// floor where none is set.
func TestNoFloorIsNoFloor(t *testing.T) {
	for floorC, wanted := range map[float64]bool{0: false, 1: true} {
		d := newDesk(t, eager, noFloor, func(p *Plan) { p.Systems[0].Settings.HeaterFloorC = floorC })
		d.wall = winter
		d.set(-8, -8, -1, -1)
		d.settled()
		d.expect(outHeater, true, SaysTankFrost)
		if got := d.c.st.Systems[0].FloorWanted; got != wanted {
			t.Errorf("a floor of %g °C: wanted %v", floorC, got)
		}
	}
}

// TestARefusedValueStartsNoLoop: what a collector probe gives before its first
// conversion, and is not believed, leaves nothing behind that starts the pump once
// it reads again, between the stop difference of 3 K and the start difference of 8 K.
func TestARefusedValueStartsNoLoop(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 36, 40, 30)
	d.settled()
	d.expect(outPump, false, SaysLoopNoGain)
	d.fail(atCollector)
	d.run(2 * time.Minute)
	d.readings[atCollector] = Reading{Value: powerUpC}
	d.run(5 * time.Second)
	d.expect(outPump, false, SaysLoopNoCollector)
	d.readings[atCollector].Value = 36
	d.run(2 * time.Minute)
	d.expect(outPump, false, SaysLoopNoGain)
}
