package control

import (
	"encoding/json"
	"os"
	"testing"
	"time"
)

// TestSwitchingSequence holds the loop rule against a published form of the
// rule: on when the difference reaches the start difference, off when it falls
// to the stop difference, else as before (testdata/hysteresis.json).
func TestSwitchingSequence(t *testing.T) {
	var ref struct {
		SequenceK []float64 `json:"sequence_K"`
		StartK    float64   `json:"start_K"`
		StopK     float64   `json:"stop_K"`
		State     []int     `json:"state"`
	}
	data, err := os.ReadFile("testdata/hysteresis.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &ref); err != nil {
		t.Fatal(err)
	}
	d := newDesk(t, eager, func(p *Plan) {
		p.Systems[0].Settings.StartDifferenceK, p.Systems[0].Settings.StopDifferenceK = ref.StartK, ref.StopK
	})
	d.set(20, 30, 40, 30)
	d.settled()
	for i, gap := range ref.SequenceK {
		d.set(20, 30+gap, 40, 30)
		d.run(time.Second)
		if on := d.out.Decisions[outPump].On(); on != (ref.State[i] == 1) {
			t.Errorf("step %d, %g K: pump on %v, want %v", i, gap, on, ref.State[i] == 1)
		}
	}
}

func TestLoopPump(t *testing.T) {
	d := newDesk(t)
	d.set(20, 31, 40, 30)
	d.settled()
	d.expect(outPump, false, SaysLoopNoGain)
	d.set(20, 37, 40, 30)
	d.run(time.Second)
	d.expect(outPump, false, SaysLoopNoGain)
	d.set(20, 38, 40, 30)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
	d.set(20, 32, 40, 30)
	d.run(time.Second)
	d.expect(outPump, true, SaysMinimumRun)
	d.run(2 * time.Minute)
	d.expect(outPump, false, SaysLoopEnds)
	d.run(time.Minute)
	d.expect(outPump, false, SaysLoopNoGain)
	d.set(20, 41, 40, 30)
	d.run(time.Second)
	d.expect(outPump, false, SaysMinimumRest)
	d.run(2 * time.Minute)
	d.expect(outPump, true, SaysLoopGains)
}

func TestLoopPumpWithFailedProbes(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 60, 50, 30)
	d.settled()
	d.expect(outPump, true, SaysLoopGains)

	d.fail(atBottom)
	d.run(20 * time.Second)
	d.expect(outPump, true, SaysLoopGains) // the last good value still stands in
	d.run(20 * time.Second)
	d.expect(outPump, true, SaysLoopGainsByTop)
	d.fail(atTop)
	d.run(40 * time.Second)
	d.expect(outPump, false, SaysLoopNoTank)

	d.set(20, 60, 50, 30)
	d.run(time.Minute)
	d.expect(outPump, true, SaysLoopGains)
	d.fail(atCollector)
	d.run(40 * time.Second)
	d.expect(outPump, false, SaysLoopNoCollector)
	if err := d.c.Override(outPump, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outPump, false, SaysLoopNoCollector) // unknown is not "not steaming"
}

func TestTankLimitIsJudgedByTheHottestReading(t *testing.T) {
	d := newDesk(t, eager)
	d.set(25, 85, 66, 20)
	d.settled()
	d.expect(outPump, true, SaysLoopGains)
	d.set(25, 85, 70, 20) // bottom stuck low, top climbs
	d.run(time.Minute)
	d.expect(outPump, false, SaysTankFull)
	d.set(25, 85, 68, 20)
	d.run(time.Minute)
	d.expect(outPump, false, SaysTankFull)
	d.set(25, 85, 67, 20)
	d.run(time.Minute)
	d.expect(outPump, true, SaysLoopGains)

	// Bottom alone at the limit: the top reads low.
	d.set(25, 85, 40, 71)
	d.run(2 * time.Minute)
	d.expect(outPump, false, SaysTankFull)

	// A person can't outrank it.
	if err := d.c.Override(outPump, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outPump, false, SaysTankFull)
	// Taking heat out of a full tank is not forbidden.
	d.set(25, 40, 71, 71)
	d.run(2 * time.Minute)
	d.expect(outPump, true, SaysOverride)
}

func TestNoStartOnASteamingCollector(t *testing.T) {
	d := newDesk(t, eager)
	d.set(30, 100, 60, 50)
	d.settled()
	d.expect(outPump, true, SaysLoopGains)
	d.set(30, 111, 60, 50)
	d.run(time.Minute)
	d.expect(outPump, false, SaysCollectorSteaming)
	d.set(30, 101, 60, 50)
	d.run(time.Minute)
	d.expect(outPump, false, SaysCollectorSteaming)
	d.run(15 * time.Minute)
	d.expectFinding(FoundStagnation, true)

	// Losing the probe does not make the collector cold.
	d.fail(atCollector)
	d.run(2 * time.Minute)
	d.expect(outPump, false, SaysSteamingUnseen)
	d.set(30, 99, 60, 50)
	d.run(steamPatience + 30*time.Second)
	d.expect(outPump, true, SaysLoopGains)
	d.flicker(time.Hour)
	d.expectFinding(FoundStagnation, false)
}

func TestFrostProtectionOfAWaterFilledLoop(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(6, 6, 50, 40)
	d.settled()
	d.expect(outPump, false, SaysLoopNoGain)
	d.set(6, 4, 50, 40)
	d.run(time.Second)
	d.expect(outPump, true, SaysFrostCirculation)
	d.set(6, 5.9, 50, 40)
	d.run(time.Second)
	d.expect(outPump, true, SaysFrostCirculation)
	d.set(6, 6.1, 50, 40)
	d.run(10 * time.Minute)
	d.expect(outPump, false, SaysLoopNoGain)

	// The tank's warmth bounds it.
	d.set(6, 2, 30, 4)
	d.run(10 * time.Minute)
	d.expect(outPump, false, SaysFrostTankCold)
	d.set(6, 2, 30, 6.9)
	d.run(time.Minute)
	d.expect(outPump, false, SaysFrostTankCold)
	d.set(6, 2, 30, 7)
	d.run(time.Minute)
	d.expect(outPump, true, SaysFrostCirculation)

	// A tank at its limit does not stand in the way.
	d.set(6, 2, 75, 75)
	d.run(3 * time.Minute)
	d.expect(outPump, true, SaysFrostCirculation)
	d.flicker(time.Hour)
	d.expectFinding(FoundFrostNotHelped, true)
}

func TestFrostWatchRuns(t *testing.T) {
	for name, tc := range map[string]struct {
		arrange func(*desk)
		says    Words
		runs    bool
	}{
		"cold air, collector near it": {func(d *desk) { d.set(-5, 6.5, 50, 40) }, SaysFrostWatchAir, true},
		"cold air, warm collector by day": {func(d *desk) {
			d.wall.Time = d.wall.Time.Add(7 * time.Hour)
			d.set(-5, 12, 50, 40)
		}, SaysFrostWatchAir, false},
		"cold air, collector stuck warm": {func(d *desk) { d.set(-5, 12, 50, 40); d.still = true }, SaysFrostWatchAir, true},
		"cold air, tank cold, no sun":    {func(d *desk) { d.set(-5, 6.5, 20, 4) }, SaysFrostWatchAir, false},
		"cold air, no collector":         {func(d *desk) { d.set(-5, 12, 50, 40); d.fail(atCollector) }, SaysFrostWatchAir, true},
		"blind in winter": {func(d *desk) {
			d.set(5, 12, 50, 40)
			d.fail(atCollector)
			d.fail(atOutdoor)
		}, SaysFrostWatchBlind, true},
		"blind in summer": {func(d *desk) {
			d.wall = noon
			d.set(5, 12, 50, 40)
			d.fail(atCollector)
			d.fail(atOutdoor)
		}, SaysFrostWatchBlind, false},
		"blind without a clock": {func(d *desk) {
			d.wall = Wall{Time: time.Unix(0, 0)}
			d.set(5, 12, 50, 40)
			d.fail(atCollector)
			d.fail(atOutdoor)
		}, SaysFrostWatchBlind, true},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, waterFilled)
			d.wall = winter
			d.set(5, 12, 50, 40)
			d.settled()
			tc.arrange(d)
			on, off := 0, 0
			for i := range 3 * 3600 {
				if !d.still {
					d.readings[atCollector].Value += 0.0625 * float64(1-2*(i%2)) // real probes flicker
				}
				d.run(time.Second)
				dec := &d.out.Decisions[outPump]
				if !dec.On() {
					off++
					continue
				}
				on++
				if i > 120 && dec.Reason.Words != tc.says && dec.Reason.Words != SaysMinimumRun {
					t.Fatalf("runs because %s, want %s", dec.Reason, tc.says.Key())
				}
			}
			if tc.runs && (on < 600 || on > off/4) || !tc.runs && on > 0 {
				t.Errorf("ran %d s of 3 h; watch runs wanted: %v", on, tc.runs)
			}
		})
	}
}

// TestCollectorTooWarmForTheNight: hours after sunset a collector at rest is as
// cold as the air. One that says more, such as a probe that drifts or hangs under
// the roof, is not believed, and watch runs begin; it is believed again once it
// has come down, or it is day.
func TestCollectorTooWarmForTheNight(t *testing.T) {
	for _, tc := range []struct {
		name    string
		from    time.Time
		aboveK  float64 // collector above the air
		doubted bool
	}{
		{"night", time.Date(2026, 1, 15, 21, 0, 0, 0, time.UTC), 12.5, true},
		{"night, near the air", time.Date(2026, 1, 15, 21, 0, 0, 0, time.UTC), 3, false},
		{"evening", time.Date(2026, 1, 15, 17, 10, 0, 0, time.UTC), 12.5, true},
		{"dusk, after a long rest", time.Date(2026, 1, 15, 15, 30, 0, 0, time.UTC), 12.5, false},
		{"morning", time.Date(2026, 1, 15, 5, 20, 0, 0, time.UTC), 12.5, false},
	} {
		t.Run(tc.name, func(t *testing.T) {
			d := newDesk(t, waterFilled)
			d.wall = Wall{Time: tc.from, Trusted: true}
			flicker := func(airC float64, length time.Duration) {
				for i := range int(length / (10 * time.Second)) {
					d.set(airC, airC+tc.aboveK-0.0625*float64(i%2), 50, 40)
					d.run(10 * time.Second)
				}
			}
			flicker(-4.5, 119*time.Minute)
			if d.c.st.Systems[0].FrostTooWarm {
				t.Error("doubted before it had time to cool")
			}
			flicker(-4.5, 20*time.Minute)
			if got := d.c.st.Systems[0].FrostTooWarm; got != tc.doubted {
				t.Errorf("doubted: %v, want %v", got, tc.doubted)
			}
			d.set(-4.5, -3, 50, 40)
			d.run(2 * time.Minute)
			if d.c.st.Systems[0].FrostTooWarm {
				t.Error("still doubted after it has come down")
			}
		})
	}
}

// TestFrostFloorDoesNotBlockTheSun: a tank too cold to give heat to a freezing
// roof must still take heat from a sunny one.
func TestFrostFloorDoesNotBlockTheSun(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(-5, 3, 20, 4)
	d.settled()
	d.run(frostColdPatience)
	d.expect(outPump, false, SaysFrostTankCold)
	for c := 3.0; c < 40; c += 0.5 {
		d.set(-5, c, 20, 4)
		d.run(10 * time.Second)
	}
	d.expect(outPump, true, SaysLoopGains)
}

// TestWatchRunsDoNotFollowEachOther: air that flickers about frost_start does
// not begin one run after the other.
func TestWatchRunsDoNotFollowEachOther(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(5, 6.5, 50, 40)
	d.settled()
	starts, was := 0, false
	for i := range 3 * 3600 {
		d.set(4+0.3*float64(1-2*(i/7%2)), 6.5+0.0625*float64(i%2), 50, 40)
		d.run(time.Second)
		on := d.out.Decisions[outPump].On()
		if on && !was {
			starts++
		}
		was = on
	}
	if starts < 5 || starts > 11 {
		t.Errorf("%d watch runs in 3 h; one after each pause of 15 min is wanted", starts)
	}
}

// TestShortedCollectorIsNoFrost: a short in the cable reads far below the
// outdoor air and must not empty the tank into the roof.
func TestShortedCollectorIsNoFrost(t *testing.T) {
	d := newDesk(t, waterFilled).settled()
	d.set(20, -40, 50, 40)
	d.run(10 * time.Minute)
	d.expect(outPump, false, SaysLoopNoCollector)
	d.expectFinding(FoundProbeColderThanSky, true)
}

func TestGlycolLoopWarnsAndDoesNotCirculate(t *testing.T) {
	d := newDesk(t)
	d.wall = winter
	d.set(-10, -12, 50, 40)
	d.settled()
	d.run(time.Hour)
	d.expect(outPump, false, SaysLoopNoGain)
	d.expectFinding(FoundNearFreezing, false)
	d.set(-14, -17, 50, 40)
	d.run(time.Hour)
	d.expect(outPump, false, SaysLoopNoGain)
	d.expectFinding(FoundNearFreezing, true)
}

func TestBackupHeater(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 20, 40, 30)
	d.settled()
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.wall = evening
	d.run(time.Second)
	d.expect(outHeater, true, SaysHeaterCold)
	d.set(20, 20, 48, 30)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysHeaterHeating)
	d.set(20, 20, 52, 30)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterWarm)
	d.set(20, 20, 46, 30)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterWarm)
	d.set(20, 20, 44, 30)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysHeaterCold)
	d.wall.Time = time.Date(2026, 7, 1, 21, 0, 0, 0, time.UTC)
	d.run(time.Second)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.set(20, 20, 29, 20)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysHeaterFloor)
	d.set(20, 20, 35.1, 20)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
}

func TestHeaterNeverOnWithoutATankTopReading(t *testing.T) {
	d := newDesk(t, eager)
	d.wall = evening
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	d.fail(atTop)
	d.run(31 * time.Second)
	d.expect(outHeater, false, SaysHeaterNoReading)
	if err := d.c.Override(outHeater, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, false, SaysHeaterNoReading)
	d.run(2 * time.Minute)
	d.expectFinding(FoundProbeSilent, true)
}

func TestHeaterKeepsToTheTankLimit(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 20, 69, 60)
	d.settled()
	if err := d.c.Override(outHeater, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, true, SaysOverride)
	d.set(20, 20, 70, 60)
	d.run(time.Second)
	d.expect(outHeater, false, SaysHeaterTankFull)
	d.set(20, 20, 60, 71) // the bottom is the hotter one: still too hot
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterTankFull)
	d.set(20, 20, 60, 79)
	d.run(5 * time.Minute)
	d.expectFinding(FoundTankTooHot, true)
}

func TestHeaterWithoutAClock(t *testing.T) {
	d := newDesk(t, eager)
	d.wall = Wall{Time: evening.Time} // right by chance, but not trusted
	d.settled()
	d.expect(outHeater, false, SaysHeaterClock)
	d.run(5 * time.Minute)
	d.expectFinding(FoundClockUnset, true)
	d.set(20, 20, 25, 20)
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysHeaterFloor)
	d.wall.Trusted = true
	d.run(10 * time.Second)
	d.expect(outHeater, true, SaysHeaterCold)
	d.expectFinding(FoundClockUnset, false)
}

func TestHeaterWindowsThatNeedNoClock(t *testing.T) {
	d := newDesk(t, eager, func(p *Plan) { p.Systems[0].Settings.HeaterWindows = Windows{{0, dayMinutes}} })
	d.wall = Wall{Time: time.Unix(0, 0)}
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
}

// TestWatchRunsBringNoHeatIntoAFullTank: a frost watch run may start beside a
// sunny roof, or with no reading to tell; a tank at its limit must not get
// that heat.
func TestWatchRunsBringNoHeatIntoAFullTank(t *testing.T) {
	for name, tc := range map[string]struct {
		arrange func(*desk)
		runs    bool
	}{
		"cold air, hot collector":                         {func(d *desk) { d.set(3, 90, 72, 70) }, false},
		"cold air, collector between the tank's readings": {func(d *desk) { d.set(3, 71, 72, 70) }, false},
		"cold air, collector stuck below the tank":        {func(d *desk) { d.set(3, 60, 72, 70); d.run(time.Hour) }, true},
		"cold air, no collector":                          {func(d *desk) { d.set(3, 90, 72, 70); d.fail(atCollector) }, false},
		"cold air, no collector for long":                 {func(d *desk) { d.set(3, 90, 72, 70); d.fail(atCollector); d.run(7 * time.Hour) }, true},
		"no reading in winter": {func(d *desk) {
			d.set(3, 90, 72, 70)
			d.fail(atCollector)
			d.fail(atOutdoor)
		}, false},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, waterFilled)
			d.wall = winter
			d.set(20, 60, 72, 70)
			d.settled()
			tc.arrange(d)
			d.run(10 * time.Minute)
			on := 0
			for range 3600 {
				d.run(time.Second)
				if d.out.Decisions[outPump].On() {
					on++
				}
			}
			if (on > 0) != tc.runs {
				t.Errorf("ran %d s of an hour, running is wanted: %v", on, tc.runs)
			}
		})
	}
}

func TestOverrideEndsByItself(t *testing.T) {
	d := newDesk(t, eager).settled()
	if err := d.c.Override(outPump, 1, time.Minute); err != nil {
		t.Fatal(err)
	}
	d.run(60 * time.Second)
	d.expect(outPump, true, SaysOverride)
	d.wall.Time = d.wall.Time.AddDate(-10, 0, 0) // a clock that jumps does not stretch it
	d.run(time.Second)
	d.expect(outPump, false, SaysLoopNoGain)
	for name, err := range map[string]error{
		"no such output": d.c.Override(7, 1, time.Minute),
		"level":          d.c.Override(outPump, 1.5, time.Minute),
		"too long":       d.c.Override(outPump, 1, 25*time.Hour),
		"negative":       d.c.Override(outPump, 1, -time.Hour),
	} {
		if err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

func TestNaturalCirculationHasNoPump(t *testing.T) {
	p := testPlan(1)
	p.Systems[0].Loop = Natural
	p.Outputs = p.Outputs[1:]
	c, err := New(p)
	if err != nil {
		t.Fatal(err)
	}
	readings := []Reading{{Value: -30}, {Value: -30}, {Value: 30}, {Value: 30}}
	var out *Outcome
	for range 1000 {
		out = c.Step(time.Second, evening, readings)
	}
	if !out.Decisions[0].On() {
		t.Errorf("heater is off: %s", out.Decisions[0].Reason)
	}
	if len(out.Findings) == 0 || out.Findings[0].Kind != FoundNearFreezing {
		t.Errorf("findings %v, want near freezing", out.Findings)
	}
}

func TestObservingSwitchesNothingAndSaysWhatItWould(t *testing.T) {
	d := newDesk(t, eager, func(p *Plan) { p.ObserveOnly = true })
	d.set(20, 80, 40, 30)
	d.run(2 * time.Minute)
	if pump := &d.out.Decisions[0]; pump.Level != 0 || pump.Would != 1 || pump.Reason.Words != SaysLoopGains {
		t.Errorf("observing, the pump is at %g, would be at %g: %s", pump.Level, pump.Would, pump.Reason)
	}
	if d.c.Output(0).Switchings != 0 {
		t.Error("observing, an output was switched")
	}
	d.expectFinding(FoundObserving, true)
}

func TestOutputsOfTwoLevelsAreOnOrOff(t *testing.T) {
	two, speeds := outputLimits{}, outputLimits{leastLevel: 0.3}
	for wish, want := range map[float64][2]float64{0: {0, 0}, 0.1: {1, 0.3}, 0.3: {1, 0.3}, 0.8: {1, 0.8}, 1: {1, 1}} {
		if got := [2]float64{two.level(wish), speeds.level(wish)}; got != want {
			t.Errorf("a wish for %g becomes %g with two levels and %g with speeds, want %g", wish, got[0], got[1], want)
		}
	}
}

// TestSteamIsGoneOnlyAfterAWhile: a noisy reading that dips below the ceiling does
// not let the pump into steam.
func TestSteamIsGoneOnlyAfterAWhile(t *testing.T) {
	d := newDesk(t, eager)
	d.set(30, 120, 60, 50)
	d.settled()
	for range 60 {
		d.set(30, 112, 60, 50)
		d.run(20 * time.Second)
		d.set(30, 96, 60, 50)
		d.run(100 * time.Second)
		d.expect(outPump, false, SaysCollectorSteaming)
	}
}

// TestStillCollectorWhilePumped: a collector that does not move by a digit while
// the pump runs and the tank moves is no reading; one that moves again is.
func TestStillCollectorWhilePumped(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 70, 50, 40)
	d.settled()
	for k := range 24 {
		d.set(20, 70, 50, 40-float64(k)/8) // the pump cools the tank
		d.run(time.Minute)
		if got := (d.reading(atCollector).Quality == Good); got != (k < 18) && k != 17 {
			t.Fatalf("after %d min of running and %.2f K of the tank the reading is good: %v", k+4, float64(k)/8, got)
		}
	}
	d.expect(outPump, false, SaysLoopNoCollector)
	d.run(2 * time.Minute)
	d.expectFinding(FoundProbeFrozen, true)
	d.set(20, 70.0625, 50, 37)
	d.run(time.Second)
	if !(d.reading(atCollector).Quality == Good) {
		t.Error("not believed again after it has moved")
	}

	d = newDesk(t, eager)
	d.set(20, 70, 50, 40)
	d.settled()
	d.run(3 * time.Hour) // nothing else moves either
	if !(d.reading(atCollector).Quality == Good) {
		t.Error("doubted on a plant in which nothing moves")
	}
}
