package control

import (
	"math"
	"testing"
	"time"
)

// onSeconds runs for a while with the small flicker of real probes and tells
// how long an output was on and how often it was switched.
func (d *desk) onSeconds(output int, length time.Duration) (on, switchings int) {
	was := d.c.Output(output).Level > 0
	for i := range int(length / time.Second) {
		for k := range d.readings {
			if !d.still && d.readings[k].Fault == "" {
				d.readings[k].Value += 0.0625 * float64(1-2*(i%2))
			}
		}
		d.run(time.Second)
		now := d.out.Decisions[output].On()
		if now {
			on++
		}
		if now != was {
			switchings++
		}
		was = now
	}
	return on, switchings
}

// TestDeadProbeAfterSteamDoesNotForbidFrostProtection: a probe that steam has
// killed must not stop the frost watch of the nights to come.
func TestDeadProbeAfterSteamDoesNotForbidFrostProtection(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(10, 90, 60, 50)
	d.settled()
	for c := 90.0; c < 122; c += 4 {
		d.set(10, c, 60, 50)
		d.run(10 * time.Second)
	}
	d.fail(atCollector)
	d.readings[atOutdoor].Value = -8
	if on, _ := d.onSeconds(outPump, 3*time.Hour); on > 0 {
		t.Errorf("pumped %d s into what may be steam", on)
	}
	d.run(4 * time.Hour)
	if on, _ := d.onSeconds(outPump, 3*time.Hour); on < 10*60 {
		t.Errorf("frost watch ran %d s in 3 h, long after the steam", on)
	}
}

// TestOutdoorProbeInTheSunDoesNotStopFrostProtection: when collector and air
// contradict each other, one of them is wrong, and nobody knows which.
func TestOutdoorProbeInTheSunDoesNotStopFrostProtection(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(8, 5, 50, 40)
	d.settled()
	for air := 8.0; air < 31; air += 0.5 {
		d.set(air, 2, 50, 40)
		d.run(20 * time.Second)
	}
	on, switchings := d.onSeconds(outPump, 3*time.Hour)
	if on < 10*60 {
		t.Errorf("ran %d s in 3 h", on)
	}
	if switchings > 30 {
		t.Errorf("switched %d times in 3 h", switchings)
	}
	d.expectFinding(FoundFrostBlind, true)
}

// TestDoubtThatFlickersDoesNotChatter: readings about the border of a doubt
// switch no relay every second.
func TestDoubtThatFlickersDoesNotChatter(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(4.5, -15, 50, 40)
	d.settled()
	switchings, was := 0, false
	for i := range 3600 {
		d.set(4.5+0.3*float64(1-2*(i%2)), -20.4, 50, 40)
		d.run(time.Second)
		if on := d.out.Decisions[outPump].On(); on != was {
			switchings++
			was = on
		}
	}
	if switchings > 12 {
		t.Errorf("switched %d times in an hour", switchings)
	}
}

// TestFrostWatchSurvivesRestarts: a board that starts again and again still
// watches.
func TestFrostWatchSurvivesRestarts(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(-8, 6, 50, 40)
	d.fail(atCollector)
	on := 0
	for range 24 {
		n, _ := d.onSeconds(outPump, 10*time.Minute)
		on += n
		d.c.Restarted()
	}
	if on < 5*60 {
		t.Errorf("ran %d s in 4 h of restarts", on)
	}
}

func TestCollectorThatIsTooWarmForTheNight(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(-15, 12, 50, 40)
	if on, _ := d.onSeconds(outPump, 6*time.Hour); on < 20*60 {
		t.Errorf("ran %d s in 6 h on the word of a collector that can't be so warm", on)
	}
}

// TestNoCirculationFromATankColderThanTheCollector: it would only cool it.
func TestNoCirculationFromATankColderThanTheCollector(t *testing.T) {
	d := newDesk(t, waterFilled, func(p *Plan) { p.Systems[0].Settings.FrostTankFloorC = 3 })
	d.wall = winter
	d.set(2, 6, 30, 5)
	d.settled()
	d.set(2, 4, 30, 3.5)
	d.run(5 * time.Minute)
	d.expect(outPump, false, SaysFrostTankCold)
}

// TestHeaterWithoutAnyEffectIsLocked: the tank top probe hangs in the room; the
// tank boils while the heater is never satisfied.
func TestHeaterWithoutAnyEffectIsLocked(t *testing.T) {
	d := newDesk(t, func(p *Plan) { p.Systems[0].TankL = 200 })
	d.set(20, 20, 21, 20)
	on, _ := d.onSeconds(outHeater, 48*time.Hour)
	// 1.5 times 50 K for 200 l with 2 kW is 8.7 h, then half an hour a day.
	if hours := float64(on) / 3600; hours < 8 || hours > 10.5 {
		t.Errorf("heated for %.1f h of two days", hours)
	}
	d.expect(outHeater, false, SaysHeaterLocked)
	d.expectFinding(FoundHeaterFruitless, true)

	// Put back into its pocket, the probe shows the heat: all is well again.
	for v := 21.0; v < 50; v += 0.5 {
		d.set(20, 20, v, 20)
		d.run(time.Minute)
	}
	d.run(24 * time.Hour)
	d.expectFinding(FoundHeaterFruitless, false)
}

func TestHeaterThatIsDrawnFromIsNotLocked(t *testing.T) {
	d := newDesk(t, func(p *Plan) {
		p.Systems[0].TankL = 200
		p.Systems[0].Settings.HeaterWindows = Windows{{0, dayMinutes}}
	})
	d.set(20, 20, 40, 20)
	d.settled()
	for i := range 24 * 60 {
		d.readings[atTop].Value = 40 + 3.5*(1+math.Sin(float64(i)/30)) // swings by 7 K, never satisfied
		d.run(time.Minute)
	}
	d.expectFinding(FoundHeaterFruitless, false)
	if !d.out.Decisions[outHeater].On() {
		t.Errorf("heater is off: %s", d.out.Decisions[outHeater].Reason)
	}
}

// TestAlarmStandsWhenItsReadingIsLost: only a good reading that says otherwise
// clears the alarm of a tank that is too hot.
func TestAlarmStandsWhenItsReadingIsLost(t *testing.T) {
	d := newDesk(t)
	d.set(20, 20, 79, 60)
	d.run(10 * time.Minute)
	d.expectFinding(FoundTankTooHot, true)
	for v := 79.0; v < 120; v += 1 {
		d.set(20, 20, v, 60)
		d.run(10 * time.Second)
	}
	d.expectFinding(FoundTankTooHot, true)
	d.fail(atTop)
	d.fail(atBottom)
	d.run(time.Hour)
	d.expectFinding(FoundTankTooHot, true)
	d.set(20, 20, 50, 40)
	d.run(time.Hour)
	d.expectFinding(FoundTankTooHot, false)
}

// TestLimitStandsWhenTheHotProbeIsLost: the other probe does not know.
func TestLimitStandsWhenTheHotProbeIsLost(t *testing.T) {
	d := newDesk(t, eager)
	d.set(25, 85, 71, 40)
	d.settled()
	d.expect(outPump, false, SaysTankFull)
	d.fail(atTop)
	d.run(time.Hour)
	d.expect(outPump, false, SaysTankFullUnseen)
	d.run(5*time.Hour + time.Minute)
	d.expect(outPump, true, SaysLoopGains)
}

// TestStartOnACollectorThatCoolsDown: inside the ceiling's band nobody knows
// whether it comes from above.
func TestStartOnACollectorThatCoolsDown(t *testing.T) {
	d := newDesk(t, eager)
	d.set(30, 108, 60, 50)
	d.settled()
	d.expect(outPump, false, SaysCollectorSteaming)
	d.set(30, 99, 60, 50)
	d.run(2*time.Minute - time.Second) // one cool reading may be noise
	d.expect(outPump, false, SaysCollectorSteaming)
	d.run(2 * time.Second)
	d.expect(outPump, true, SaysLoopGains)
	d.c.Restarted()
	d.set(30, 109, 60, 50)
	d.run(3 * time.Minute)
	d.expect(outPump, false, SaysCollectorSteaming)
}

// TestOneOldSampleIsOneSample: a bus that hangs hands the same bad sample over
// again and again; it stays one.
func TestOneOldSampleIsOneSample(t *testing.T) {
	d := newDesk(t).settled()
	for age := range 29 {
		d.readings[atTop] = Reading{Value: 85, Age: time.Duration(age) * time.Second}
		d.run(time.Second)
		if j := d.reading(atTop); j.OK() && j.Value == 85 {
			t.Fatalf("believed after %d s", age)
		}
	}
}

func TestLongStepsBelieveNoJump(t *testing.T) {
	d := newDesk(t).settled()
	d.readings[atTop].Value = 85
	d.out = d.c.Step(2*time.Minute, d.wall, d.readings)
	if j := d.reading(atTop); j.OK() && j.Value == 85 {
		t.Error("a jump of 45 K was believed at once after a long step")
	}
}

// TestStraySampleDoesNotKeepAProbeOut: one bad sample in fifteen is passed over
// while a probe comes back.
func TestStraySampleDoesNotKeepAProbeOut(t *testing.T) {
	d := newDesk(t).settled()
	d.fail(atTop)
	d.run(time.Minute)
	for i := range 120 {
		d.readings[atTop] = Reading{Value: 40}
		if i%15 == 7 {
			d.readings[atTop].Value = 85
		}
		d.run(time.Second)
	}
	d.expectReading(atTop, Good, SaysNothing, 40)
}

// TestProbeThatFailsAgainAndAgain: no single failure is long, but somebody must
// be told.
func TestProbeThatFailsAgainAndAgain(t *testing.T) {
	d := newDesk(t).settled()
	for i := range 2 * 3600 {
		d.readings[atTop] = Reading{Value: 40 + 0.0625*float64(i%2)}
		if i%120 < 60 {
			d.fail(atTop)
		}
		d.run(time.Second)
	}
	d.expectFinding(FoundProbeTrouble, true)
	d.readings[atTop] = Reading{Value: 40}
	d.run(2 * time.Hour)
	d.expectFinding(FoundProbeTrouble, false)
}

func TestAPersonsOffIsNotHeld(t *testing.T) {
	d := newDesk(t, func(p *Plan) { p.Systems[0].Settings.HeaterMinimumRun = 5 * time.Minute })
	d.wall = evening
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	if err := d.c.Override(outHeater, 0, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, false, SaysOverride)
	if !d.out.Decisions[outHeater].Urgent {
		t.Error("the output layer would hold it back")
	}
}

func TestServiceStateHoldsEverythingOff(t *testing.T) {
	d := newDesk(t, eager, waterFilled)
	d.wall = evening
	d.set(-5, 2, 40, 30)
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	d.expect(outPump, true, SaysFrostCirculation)
	d.c.SetServicing(true)
	d.run(2 * time.Second)
	d.expect(outHeater, false, SaysServicing)
	d.expect(outPump, false, SaysServicing)
	d.expectFinding(FoundServicing, true)
	if err := d.c.Override(outPump, 1, time.Minute); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	if !d.out.Decisions[outPump].On() {
		t.Errorf("a person can't try the pump: %s", d.out.Decisions[outPump].Reason)
	}
	d.c.SetServicing(false)
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysHeaterCold)
	d.expectFinding(FoundServicing, false)
}

// TestFrostWatchBringsNoHeatIntoAnUnseenTank: in cold air a sunny collector that
// stands still is doubted, so that watch runs are due; but one at the tank's limit is
// not pumped into a tank that can't be read, and one below it is.
func TestFrostWatchBringsNoHeatIntoAnUnseenTank(t *testing.T) {
	for collectorC, runs := range map[float64]bool{100: false, 70: false, 69: true} {
		d := newDesk(t, eager, waterFilled)
		d.wall = Wall{time.Date(2026, 1, 15, 12, 0, 0, 0, time.UTC), true}
		d.set(1, 20, 69, 65)
		d.settled()
		d.set(1, collectorC, 69, 65)
		d.fail(atTop)
		d.fail(atBottom)
		on := 0
		for minute := range 120 {
			d.readings[atCollector].Value = collectorC + lastDigit*float64(minute%2)
			ran, _ := d.onSeconds(outPump, time.Minute)
			on += ran
		}
		if on > 0 != runs {
			t.Errorf("collector at %g °C: the pump ran %d s in two hours: %s", collectorC, on, d.out.Decisions[outPump].Reason)
		}
	}
}

// TestServiceStateOutranksFrostOfWhatIsOffByHand: in the service state frost
// protection starts no pump that a person has switched off, by water or antifreeze.
func TestServiceStateOutranksFrostOfWhatIsOffByHand(t *testing.T) {
	for name, tc := range map[string]struct {
		change     change
		collectorC float64
	}{
		"water":      {waterFilled, 2},
		"antifreeze": {func(*Plan) {}, -20},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, eager, tc.change)
			d.wall = winter
			d.set(tc.collectorC, tc.collectorC, 40, 30)
			d.settled()
			d.c.SetServicing(true)
			if err := d.c.Override(outPump, 0, 2*time.Hour); err != nil {
				t.Fatal(err)
			}
			for range 3600 {
				d.run(time.Second)
				if d.out.Decisions[outPump].On() {
					t.Fatalf("the pump runs while somebody works on it: %s", d.out.Decisions[outPump].Reason)
				}
			}
			d.expect(outPump, false, SaysServicing)
		})
	}
}

func TestBoost(t *testing.T) {
	d := newDesk(t, eager).settled()
	if err := d.c.Boost(0, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, true, SaysBoost)
	d.set(20, 20, 52, 30)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.set(20, 20, 40, 30) // it has ended, and does not begin anew
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	if err := d.c.Boost(0, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(61 * time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	if d.c.Boost(1, time.Hour) == nil || d.c.Boost(0, 5*time.Hour) == nil || d.c.Boost(0, -1) == nil {
		t.Error("a boost that can't be was taken")
	}
}

func tempered(p *Plan) { p.Systems[0].Tempered = true }

func TestHygieneHeatUp(t *testing.T) {
	d := newDesk(t, eager, tempered)
	d.set(20, 20, 55, 30)
	d.run(7*24*time.Hour + 10*time.Second)
	d.wall = Wall{Time: time.Date(2026, 7, 8, 12, 59, 0, 0, time.UTC), Trusted: true}
	d.run(50 * time.Second)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.run(20 * time.Second) // its window opens at 13:00
	d.expect(outHeater, true, SaysHygiene)
	d.set(20, 20, 61, 30)
	d.run(30 * time.Minute)
	d.set(20, 20, 59, 30) // a draw breaks the hold
	d.run(time.Minute)
	d.set(20, 20, 62, 30)
	d.flicker(59 * time.Minute)
	if d.c.st.Systems[0].HygieneSince == 0 {
		t.Error("claimed after a hold that was broken")
	}
	d.flicker(2 * time.Minute)
	if since := d.c.st.Systems[0].HygieneSince; since > 2*time.Minute {
		t.Errorf("not claimed: %v since the last one", since)
	}
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
}

// TestTheSunsHygieneCounts: what the sun has held hot is not heated again.
func TestTheSunsHygieneCounts(t *testing.T) {
	d := newDesk(t, eager, tempered)
	d.set(20, 20, 62, 61)
	d.flicker(6 * time.Hour)
	if since := d.c.st.Systems[0].HygieneSince; since > time.Hour {
		t.Errorf("%v since the sun has done it", since)
	}
}

func TestHygieneIsNeitherDoneNorClaimedBlindly(t *testing.T) {
	for name, tc := range map[string]struct {
		change change
		fail   bool
	}{
		"no tempering valve": {func(*Plan) {}, false},
		"no tank top":        {tempered, true},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, eager, tc.change)
			d.set(20, 20, 55, 30)
			d.settled()
			if tc.fail {
				d.fail(atTop)
			}
			for range 10 * 24 * 6 {
				d.out = d.c.Step(10*time.Minute, d.wall, d.readings)
				if d.out.Decisions[outHeater].On() {
					t.Fatalf("heats: %s", d.out.Decisions[outHeater].Reason)
				}
				d.wall.Time = d.wall.Time.Add(10 * time.Minute)
			}
			d.expectFinding(FoundHygieneOverdue, true)
		})
	}
}

func TestPumpIsTurnedOverWhenItHasStoodStill(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 20, 50, 40)
	on := 0
	for range 8 * 24 * 360 {
		d.out = d.c.Step(10*time.Second, d.wall, d.readings)
		d.wall.Time = d.wall.Time.Add(10 * time.Second)
		if dec := d.out.Decisions[outPump]; dec.On() {
			on++
			if hour := d.wall.Time.Hour(); hour > 3 && hour < 20 {
				t.Errorf("turned over by day, at %v: the collector may be full of steam unseen", d.wall.Time)
			}
			if dec.Rank != Upkeep || dec.Reason.Words != SaysExercise {
				t.Fatalf("on because %s", dec.Reason)
			}
		}
	}
	if on < 4 || on > 8 {
		t.Errorf("ran %d steps of 10 s in 8 days, twice 20 s are wanted", on)
	}
	d.c.SetServicing(true)
	for range 4 * 24 * 360 {
		if d.out = d.c.Step(10*time.Second, d.wall, d.readings); d.out.Decisions[outPump].On() {
			t.Fatal("exercised while somebody works on the plant")
		}
	}
}

func TestNightCooling(t *testing.T) {
	d := newDesk(t, eager, func(p *Plan) { p.Systems[0].Settings.NightCoolingC = 68 })
	d.set(15, 20, 69, 66)
	d.settled()
	d.expect(outPump, true, SaysNightCooling)
	for v := 69.0; v > 58; v -= 0.5 {
		d.set(15, 20, v, v-3)
		d.run(10 * time.Second)
	}
	d.run(time.Minute)
	d.expect(outPump, true, SaysNightCooling)
	d.set(15, 20, 57.9, 55)
	d.run(time.Minute)
	d.expect(outPump, false, SaysLoopNoGain)

	// A tank over its limit may be cooled; a hot collector can't cool it.
	d.set(15, 20, 71, 68)
	d.run(3 * time.Minute)
	d.expect(outPump, true, SaysNightCooling)
	d.set(25, 75, 71, 68)
	d.run(3 * time.Minute)
	d.expect(outPump, false, SaysTankFull)

	// In a holiday it begins sooner.
	d.set(15, 20, 60, 58)
	d.run(3 * time.Minute)
	d.expect(outPump, false, SaysLoopNoGain)
	if err := d.c.Holiday(24 * time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Minute)
	d.expect(outPump, true, SaysNightCooling)
	if d.c.Holiday(-1) == nil || d.c.Holiday(91*24*time.Hour) == nil {
		t.Error("a holiday that can't be was taken")
	}
}

// TestAStandInStartsNothing: while a probe's newest samples are bad, its last
// good value keeps things as they are.
func TestAStandInStartsNothing(t *testing.T) {
	d := newDesk(t, eager)
	d.set(20, 37, 46, 30)
	d.settled()
	d.fail(atCollector)
	d.fail(atTop)
	d.readings[atBottom].Value = 28 // now the difference is there
	d.wall = evening
	d.run(20 * time.Second)
	d.expect(outPump, false, SaysLoopNoGain)
	d.set(20, 37, 44, 28)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
	d.fail(atCollector)
	d.run(20 * time.Second)
	d.expect(outPump, true, SaysLoopGains)
}

func TestHolidayRestsTheHeater(t *testing.T) {
	d := newDesk(t, eager, tempered)
	d.wall = evening
	d.set(20, 20, 40, 30)
	d.settled()
	d.expect(outHeater, true, SaysHeaterCold)
	if err := d.c.Holiday(time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(time.Second)
	d.expect(outHeater, false, SaysHoliday)
	d.set(20, 20, 29, 20)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysHeaterFloor)
	d.set(20, 20, 40, 30)
	d.run(time.Hour)
	d.expect(outHeater, true, SaysHeaterCold)
}

func TestThickFluidIsNotTurnedOver(t *testing.T) {
	d := newDesk(t, eager)
	d.wall = winter
	d.set(-16, -17, 50, 40)
	for range 5 * 24 * 360 {
		if d.out = d.c.Step(10*time.Second, d.wall, d.readings); d.out.Decisions[outPump].On() {
			t.Fatal("the pump was turned over near the fluid's freezing point")
		}
	}
}

// TestNoisyTankBottomDoesNotRefuseFrostProtection: single readings at the floor
// are no cold tank.
func TestNoisyTankBottomDoesNotRefuseFrostProtection(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	d.set(-10, 3, 50, 6)
	d.settled()
	d.expect(outPump, true, SaysFrostCirculation)
	for i := range 6 {
		warm := 3 + 0.1*float64(i)
		d.set(-10, warm, 50, 3.9)
		d.run(frostColdPatience - time.Second)
		d.expect(outPump, true, SaysFrostCirculation)
		d.set(-10, warm, 50, 6)
		d.run(time.Second)
		d.expect(outPump, true, SaysFrostCirculation)
	}
	d.set(-10, 3, 50, 3.5)
	d.run(frostColdPatience - time.Second)
	d.expect(outPump, true, SaysFrostCirculation)
	d.run(time.Second)
	d.expect(outPump, false, SaysFrostTankCold)
}
