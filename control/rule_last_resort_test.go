package control

import (
	"testing"
	"time"
)

// glycolNight is a desk with antifreeze that freezes at -21 °C, in a winter night
// in which the pump has rested for long.
func glycolNight(t *testing.T, changes ...change) *desk {
	t.Helper()
	d := newDesk(t, changes...)
	d.wall = winter
	d.set(-15, -18.5, 50, 40)
	d.run(burstPause)
	d.expect(outPump, false, SaysLoopNoGain)
	return d
}

// nights lets the loop be as cold as coldC at rest and as warm as warmC after half a
// minute of a burst, and tells how long the pump ran and how often it started.
func (d *desk) nights(coldC, warmC float64, length time.Duration) (on time.Duration, starts int) {
	was := d.out.Decisions[outPump].On()
	for range int(length / time.Second) {
		d.readings[atCollector].Value = coldC
		if o := d.c.Output(outPump); o.Level > 0 && o.InState >= 30*time.Second {
			d.readings[atCollector].Value = warmC
		}
		d.run(time.Second)
		now := d.out.Decisions[outPump].On()
		if now {
			on += time.Second
		}
		if now && !was {
			starts++
		}
		was = now
	}
	return on, starts
}

func TestLastResortOfALoopWithAntifreeze(t *testing.T) {
	d := glycolNight(t)
	d.set(-15, -19, 50, 40)
	d.run(5 * time.Second) // a step of the reading is believed
	d.expect(outPump, true, SaysLastResort)
	d.set(-15, -16, 50, 40)
	d.run(burstRun)
	d.expect(outPump, false, SaysLoopNoGain)
	on, starts := d.nights(-19, -12, 6*time.Hour)
	if starts < 19 || starts > 20 || on > 6*time.Hour/6 || on < 6*time.Hour/7 {
		t.Errorf("%d bursts, %v in all in 6 h; one of 3 min after each 15 min is wanted", starts, on)
	}
	d.expectFinding(FoundFrostNotHelped, false)
}

// TestLastResortInVain: bursts that do not warm the collector are given up, also
// over a restart, and tried again when it has been warmer.
func TestLastResortInVain(t *testing.T) {
	d := glycolNight(t)
	if on, starts := d.nights(-19.5, -17.1, 6*time.Hour); starts != burstsInVain || on > 2*(burstRun+time.Second) {
		t.Errorf("%d bursts, %v in all in 6 h in vain", starts, on)
	}
	d.expect(outPump, false, SaysLastResortVain)
	d.expectFinding(FoundFrostNotHelped, true)
	data, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	if err := d.c.RestoreState(data); err != nil {
		t.Fatal(err)
	}
	d.c.Restarted()
	if _, starts := d.nights(-19.5, -17.1, time.Hour); starts > 0 {
		t.Errorf("%d bursts after a restart", starts)
	}
	d.nights(-16.9, -16.9, time.Minute)
	if _, starts := d.nights(-19.5, -10, time.Hour); starts < 3 {
		t.Errorf("%d bursts after it was warmer", starts)
	}
}

// TestLastResortByTheAir: nobody sees whether they help, so there are two.
func TestLastResortByTheAir(t *testing.T) {
	d := glycolNight(t)
	d.fail(atCollector)
	d.readings[atOutdoor].Value = -19.5
	on, seen := 0, false
	for range 6 * 3600 {
		if d.run(time.Second); d.out.Decisions[outPump].On() {
			on++
			seen = seen || d.out.Decisions[outPump].Reason.Words == SaysLastResortByAir
		}
	}
	if !seen || on < 2*180 || on > 2*182 {
		t.Errorf("ran %d s in 6 h, by the air's word: %v", on, seen)
	}
	d.expectFinding(FoundFrostNotHelped, true)
}

// TestLastResortIsNotTried: where it would do harm, no good, or is not wanted.
func TestLastResortIsNotTried(t *testing.T) {
	for name, tc := range map[string]struct {
		change change
		then   func(d *desk)
		says   Words
	}{
		"not so near":             {nil, func(d *desk) { d.set(-15, -18.9, 50, 40) }, SaysLoopNoGain},
		"switched off":            {func(p *Plan) { p.Systems[0].Settings.FrostLastResortK = 0 }, func(d *desk) { d.set(-15, -19.5, 50, 40) }, SaysLoopNoGain},
		"thick":                   {nil, func(d *desk) { d.set(-20, -21.1, 50, 40) }, SaysFluidThick},
		"thick, and switched off": {func(p *Plan) { p.Systems[0].Settings.FrostLastResortK = 0 }, func(d *desk) { d.set(-20, -21.1, 50, 40) }, SaysFluidThick},
		"the tank at its floor": {nil, func(d *desk) {
			d.set(-15, -18.5, 50, 4)
			d.run(frostColdPatience + time.Minute)
			d.set(-15, -19.5, 50, 4)
		}, SaysLastResortTankCold},
		"the tank bottom unread": {nil, func(d *desk) { d.set(-15, -19.5, 50, 40); d.fail(atBottom) }, SaysLoopNoGainByTop},
		"the tank unread":        {nil, func(d *desk) { d.set(-15, -19.5, 50, 40); d.fail(atTop); d.fail(atBottom) }, SaysLoopNoTank},
		"thick, by the air":      {nil, func(d *desk) { d.set(-21.1, -19, 50, 40); d.fail(atCollector) }, SaysFluidThickByAir},
		"nothing sees the frost": {nil, func(d *desk) { d.set(-15, -19.5, 50, 40); d.fail(atCollector); d.fail(atOutdoor) }, SaysLoopNoCollector},
		"a loop that moves no heat": {nil, func(d *desk) {
			d.set(-15, -19.5, 50, 40)
			d.c.st.Systems[0].Signs.Loop.Pause = effortLongRest
		}, SaysLoopFruitless},
	} {
		t.Run(name, func(t *testing.T) {
			changes := []change{}
			if tc.change != nil {
				changes = append(changes, tc.change)
			}
			d := glycolNight(t, changes...)
			tc.then(d)
			for range 3600 {
				if d.run(time.Second); d.out.Decisions[outPump].On() && d.c.st.Outputs[outPump].InState > 0 {
					t.Fatalf("the pump runs: %s", d.out.Decisions[outPump].Reason)
				}
			}
			d.expect(outPump, false, tc.says)
		})
	}
}

// TestLastResortAndAFullTank: where the collector can't be read, one that was
// hot a while ago brings nothing into a full tank.
func TestLastResortAndAFullTank(t *testing.T) {
	d := glycolNight(t)
	d.set(-15, -18.5, 70.5, 71)
	d.run(time.Minute)
	d.fail(atCollector)
	d.readings[atOutdoor].Value = -19.5
	if on, _ := d.onSeconds(outPump, unseenPatience-time.Minute); on > 0 {
		t.Errorf("ran %d s with a full tank and a collector that can't be read", on)
	}
	if on, _ := d.onSeconds(outPump, time.Hour); on < 180 {
		t.Errorf("ran %d s when the collector's last word was old", on)
	}
}

// TestNobodyPumpsThickFluid: a person's wish yields, and a burst ends at once.
func TestNobodyPumpsThickFluid(t *testing.T) {
	d := glycolNight(t)
	if err := d.c.Override(outPump, 1, 2*time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outPump, true, SaysOverride)
	for c := -18.5; c > -21.1; c -= 0.1 {
		d.set(-15, c, 50, 40)
		d.run(10 * time.Second)
	}
	d.expect(outPump, false, SaysFluidThick)
}

// TestAPersonMayTryWhereTheLastResortHasEnded: he bleeds the loop, or fills it.
func TestAPersonMayTryWhereTheLastResortHasEnded(t *testing.T) {
	d := glycolNight(t)
	d.nights(-19.5, -19, 2*time.Hour)
	d.expect(outPump, false, SaysLastResortVain)
	if err := d.c.Override(outPump, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Minute)
	d.expect(outPump, true, SaysOverride)
}

// TestLastResortAtItsBorders: the values at which it changes its mind.
func TestLastResortAtItsBorders(t *testing.T) {
	d := glycolNight(t)
	m := &d.c.st.Systems[0]
	m.FrostVain = 1
	d.set(-15, -17, 50, 40)
	d.run(5 * time.Second)
	if m.FrostVain != 1 {
		t.Error("what was in vain is forgotten at the border")
	}
	d.set(-15, -16.9, 50, 40)
	d.run(5 * time.Second)
	if m.FrostVain != 0 {
		t.Error("what was in vain is not forgotten when it is warmer")
	}

	d = glycolNight(t, func(p *Plan) { p.Systems[0].Settings.FrostLastResortK = 1 })
	d.set(-15, -20, 50, 40)
	d.run(5 * time.Second)
	d.expect(outPump, true, SaysLastResort)

	d = newDesk(t, func(p *Plan) { p.Systems[0].FreezingPointC = -3 })
	d.wall = winter
	d.set(0, 0, 50, 0)
	d.run(burstPause)
	d.c.st.Systems[0].FrostColdFor, d.c.st.Systems[0].FrostTankCold = 0, false
	d.set(0, -1, 50, -1)
	d.run(time.Minute)
	if o := d.c.Output(outPump); o.On > 0 {
		t.Errorf("ran %v with a tank bottom as cold as the collector", o.On)
	}
}

// TestLastResortAndAStandIn: a cold tank top says nothing of the warmth beside the
// coil.
func TestLastResortAndAStandIn(t *testing.T) {
	d := glycolNight(t)
	d.set(-15, -18.5, 3, 5)
	d.fail(atBottom)
	d.run(frostColdPatience + 2*time.Minute)
	d.set(-15, -19.5, 3, 5)
	d.run(time.Minute)
	d.expect(outPump, true, SaysLastResort)
}

// TestLastResortEndsOtherRuns: after bursts in vain no run goes on but one of them,
// and none that has not begun.
func TestLastResortEndsOtherRuns(t *testing.T) {
	for name, tc := range map[string]struct {
		level   float64
		watches bool
	}{"another run": {1, false}, "a burst that has not begun": {0, true}} {
		d := glycolNight(t)
		d.set(-15, -19.5, 50, 40)
		d.c.st.Systems[0].FrostVain = burstsInVain
		d.c.st.Outputs[outPump] = OutputState{Level: tc.level, InState: time.Hour}
		d.c.st.Systems[0].FrostWatching = tc.watches
		if tc.level == 0 {
			d.c.st.Outputs[outPump].Idle = time.Hour
		}
		d.c.st.Probes[atCollector].Last = -19.5
		d.run(time.Second)
		if got := d.out.Decisions[outPump].Reason.Words; got != SaysLastResortVain {
			t.Errorf("%s: %s", name, got.Key())
		}
	}
}
