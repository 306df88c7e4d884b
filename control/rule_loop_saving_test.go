package control

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// spared lets the pump of every system be spared.
func spared(p *Plan) {
	eachSystem(p, func(s *System) { s.Settings.PumpSavingPercent = 100 })
}

func fluidStore(p *Plan) { eachSystem(p, func(s *System) { s.LoopFluidStore = true }) }

// knownLoop is a desk whose loop has shown a gap of 12 K in good sun, with the
// tank bottom at 30 °C and the top as warm as is said.
func knownLoop(t testing.TB, topC float64, changes ...change) *desk {
	t.Helper()
	d := newDesk(t, append([]change{spared, eager}, changes...)...)
	d.set(20, 33, topC, 30)
	d.settled()
	d.c.st.Systems[0].Saving = PumpSaving{GoodSunK: 12, RanFor: goodSunKnown}
	return d
}

func (d *desk) saving() *PumpSaving { return &d.c.st.Systems[0].Saving }

func TestUnknownLoopIsNotSpared(t *testing.T) {
	d := newDesk(t, spared, eager)
	d.set(20, 33, 40, 30)
	d.settled()
	d.set(20, 38, 40, 30)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
	d.set(20, 33, 40, 30)
	d.run(time.Second)
	d.expect(outPump, false, SaysLoopEnds)
}

// TestLoopIsKnownAfterTenHours: one second before, nothing is spared.
func TestLoopIsKnownAfterTenHours(t *testing.T) {
	d := knownLoop(t, 40)
	d.saving().RanFor = goodSunKnown - time.Second
	d.set(20, 39, 40, 30)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
}

// TestStartWaitsForHeat: 9 K above the tank, 6 K of it above the stop difference,
// a start is worth it once 85 K min are together: after 850 s.
func TestStartWaitsForHeat(t *testing.T) {
	d := knownLoop(t, 40)
	d.set(20, 39, 40, 30)
	d.run(time.Second)
	d.expect(outPump, false, SaysLoopGathers)
	if got := d.out.Decisions[outPump].Reason.String(); !strings.Contains(got, "another 15 min") {
		t.Errorf("said: %s", got)
	}
	d.run(848 * time.Second)
	d.expect(outPump, false, SaysLoopGathers)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
	if got := d.saving().WaitedKS; got == 0 {
		t.Errorf("the waiting is forgotten before the pump has run")
	}
	d.run(time.Second)
	if got := d.saving().WaitedKS; got != 0 {
		t.Errorf("a running pump has waited %g K s", got)
	}
}

// TestStrongSunWaitsLess: the stronger the sun, the shorter the wait, and the
// hotter the collector at the start.
func TestStrongSunWaitsLess(t *testing.T) {
	var lastWait time.Duration
	for _, perMinuteK := range []float64{4, 2, 1} {
		d := knownLoop(t, 40)
		wait, collector := time.Duration(0), 33.0
		for ; d.out.Decisions[outPump].Level == 0 && wait < 2*time.Hour; wait += time.Second {
			collector += perMinuteK / 60
			d.set(20, collector, 40, 30)
			d.run(time.Second)
		}
		t.Logf("%g K a minute: waited %v, to %.1f K", perMinuteK, wait, collector-30)
		if wait <= lastWait || wait > 20*time.Minute {
			t.Errorf("a sun of %g K a minute waits for %v, a stronger one %v", perMinuteK, wait, lastWait)
		}
		lastWait = wait
	}
}

func TestHotCollectorStartsAtOnce(t *testing.T) {
	for name, tc := range map[string]struct {
		collector, top, bottom float64
		on                     bool
	}{
		"far above the tank":     {65, 40, 30, true},
		"not so far":             {64.9, 40, 30, false},
		"near the ceiling":       {85, 62, 60, true},
		"not so near":            {84.9, 62, 60, false},
		"inside of its own band": {99, 68, 65, true},
	} {
		d := knownLoop(t, 40)
		d.set(20, tc.collector, tc.top, tc.bottom)
		d.run(30 * time.Second)
		if got := d.out.Decisions[outPump].On(); got != tc.on {
			t.Errorf("%s: pump on %v because %q", name, got, d.out.Decisions[outPump].Reason)
		}
	}
}

// TestHotTankStopsEarlier: both differences are lifted, in a hot tank the more,
// never by more than the start difference, and never for a pump whose speed is
// set.
func TestHotTankStopsEarlier(t *testing.T) {
	for name, tc := range map[string]struct {
		top, goodSun, stop float64
		changes            []change
	}{
		"coil, cool tank":              {50, 12, 3, nil},
		"coil, hot tank":               {60, 12, 4.56, nil},
		"coil, half as hot":            {56, 15, 3.6, nil},
		"loop fluid, cool tank":        {50, 12, 3.84, []change{fluidStore}},
		"loop fluid, hot tank":         {60, 12, 5.28, []change{fluidStore}},
		"far less flow than usual":     {60, 39, 11, []change{fluidStore}},
		"set speed":                    {60, 39, 3, []change{speeds}},
		"hotter than hot":              {66, 12, 4.56, nil},
		"colder than the heater makes": {35, 12, 3, nil},
	} {
		d := knownLoop(t, tc.top, tc.changes...)
		d.saving().GoodSunK = tc.goodSun
		d.saving().WaitedKS = mostWaitedKS
		startC := 30 + 5 + tc.stop // the start difference is 5 K above the stop difference
		d.set(20, startC-0.1, tc.top, 30)
		d.run(30 * time.Second)
		d.expect(outPump, false, SaysLoopNoGain)
		d.set(20, startC+0.1, tc.top, 30)
		d.run(time.Second)
		if !d.out.Decisions[outPump].On() {
			t.Errorf("%s: the pump does not start at %g K: %s", name, startC-30, d.out.Decisions[outPump].Reason)
		}
		d.set(20, 30+tc.stop+0.1, tc.top, 30)
		d.run(time.Second)
		if !d.out.Decisions[outPump].On() {
			t.Errorf("%s: the pump stops above %g K", name, tc.stop)
		}
		d.set(20, 30+tc.stop-0.1, tc.top, 30)
		d.run(time.Second)
		d.expect(outPump, false, SaysLoopEnds)
	}
}

// TestPlainPumpIsNotSpared: at 0 % all is as the two differences say, and nothing
// is learned; at half of it a start waits half as long.
func TestPlainPumpIsNotSpared(t *testing.T) {
	share := func(percent float64) change {
		return func(p *Plan) { p.Systems[0].Settings.PumpSavingPercent = percent }
	}
	d := knownLoop(t, 60, share(0))
	was := *d.saving()
	d.set(20, 38, 60, 30)
	d.run(30 * time.Minute)
	d.expect(outPump, true, SaysLoopGains)
	d.set(20, 33.1, 60, 30)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
	if *d.saving() != was {
		t.Errorf("learned %+v of %+v", *d.saving(), was)
	}
	d = knownLoop(t, 40, share(50))
	d.set(20, 39, 40, 30)
	d.run(424 * time.Second)
	d.expect(outPump, false, SaysLoopGathers)
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGains)
}

func TestLostTankBottomIsNotSpared(t *testing.T) {
	d := knownLoop(t, 40)
	d.set(20, 55, 40, 30)
	d.fail(atBottom)
	d.run(2 * time.Minute)
	d.c.st.Systems[0].LoopWanted, d.saving().WaitedKS = false, 0
	d.run(time.Second)
	d.expect(outPump, true, SaysLoopGainsByTop)
	was := d.saving().RanFor
	d.run(10 * time.Minute)
	if got := d.saving().RanFor; got != was {
		t.Errorf("by the tank top %v were learned", got-was)
	}
}

func TestWhatALoopTeaches(t *testing.T) {
	for name, tc := range map[string]struct {
		gap, low, high float64 // of what is learned after a quarter of an hour of 12 K before
		ran            bool
		changes        []change
	}{
		"a stronger sun":          {20, 16, 19, true, nil},
		"a weaker sun":            {8.5, 11.97, 11.999, true, nil},
		"a loop that stands":      {45, 12, 12, false, nil},
		"a pump that runs slowly": {8.5, 12, 12, false, []change{speeds}},
	} {
		d := knownLoop(t, 40, tc.changes...)
		d.saving().WaitedKS = mostWaitedKS
		d.set(20, 30+tc.gap, 40, 30)
		d.run(goodSunSteady)
		if got := d.saving().GoodSunK; got != 12 {
			t.Errorf("%s: within the first minutes a gap of %g K was learned", name, got)
		}
		if tc.changes != nil {
			d.c.st.Systems[0].PumpSpeed = 0.5
		}
		d.run(15 * time.Minute)
		m := d.saving()
		if m.GoodSunK < tc.low || m.GoodSunK > tc.high || (m.RanFor > goodSunKnown) != tc.ran {
			t.Errorf("%s: learned %+v, want a gap of %g to %g K, ran on %v", name, *m, tc.low, tc.high, tc.ran)
		}
	}
}

// TestGapsThatTeachNothing: a gap that is none, and one of a loop that stands, with
// the pump set on by hand.
func TestGapsThatTeachNothing(t *testing.T) {
	for gap, teaches := range map[float64]bool{0: false, 0.5: true, deadGapK - 0.5: true, deadGapK: false} {
		d := knownLoop(t, 40)
		if err := d.c.Override(outPump, 1, time.Hour); err != nil {
			t.Fatal(err)
		}
		d.set(20, 30+gap, 40, 30)
		d.run(goodSunSteady + time.Minute)
		if got := d.saving().RanFor > goodSunKnown; got != teaches {
			t.Errorf("a gap of %g K teaches: %v", gap, got)
		}
	}
}

// TestWaitingIsForgotten: what was gathered is lost while the collector is no
// hotter than the tank.
func TestWaitingIsForgotten(t *testing.T) {
	d := knownLoop(t, 40)
	d.set(20, 37, 40, 30)
	d.run(5 * time.Minute)
	if got := d.saving().WaitedKS; got != 1200 {
		t.Errorf("4 K above the stop difference for 5 min are %g K s", got)
	}
	d.set(20, 33, 40, 30)
	d.run(waitForgets)
	if got := d.saving().WaitedKS; got < 400 || got > 500 {
		t.Errorf("of 1200 K s %g are left after half an hour", got)
	}
}

// TestSparingIsBounded: whatever the readings do, a spared pump that waits is far
// from the ceiling; a sun that lasts always starts it; it never runs where
// a protection holds a plain one off; and memory stays within what a saved state may hold.
func TestSparingIsBounded(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		percent := rapid.Float64Range(1, 200).Draw(rt, "percent")
		d := knownLoop(t, 40, func(p *Plan) {
			p.Systems[0].Settings.PumpSavingPercent = percent
			p.Systems[0].LoopFluidStore = rapid.Bool().Draw(rt, "loop fluid")
		})
		d.saving().GoodSunK = rapid.Float64Range(0, deadGapK).Draw(rt, "good sun")
		for range 30 {
			d.set(20, rapid.Float64Range(-10, 130).Draw(rt, "collector"), rapid.Float64Range(30, 80).Draw(rt, "top"), rapid.Float64Range(10, 75).Draw(rt, "bottom"))
			d.run(time.Duration(rapid.IntRange(1, 300).Draw(rt, "seconds")) * time.Second)
			pump := &d.out.Decisions[outPump]
			set := &d.c.plan.Systems[0].Settings
			if pump.Reason.Words == SaysLoopGathers && (pump.Reason.Values[0] >= set.RestartCeilingC-set.RestartCeilingBandK-speedRoomK || pump.Reason.Values[1] >= savingMostK) {
				rt.Fatalf("it waits: %s", pump.Reason)
			}
			if pump.Level > 0 && pump.Rank < Protect {
				for _, v := range pump.Votes {
					if v.Rank == Protect && v.Level == 0 {
						rt.Fatalf("it runs against %s", v.Reason)
					}
				}
			}
			if err := d.saving().check("roof"); err != nil {
				rt.Fatal(err)
			}
		}
		d.set(20, 50, 40, 33) // 17 K, above any lifted start difference
		d.flicker(time.Hour)
		if d.out.Readings[atCollector].OK() && !d.out.Decisions[outPump].On() {
			rt.Fatalf("an hour of sun does not start it: %s", d.out.Decisions[outPump].Reason)
		}
	})
}

// TestWaitingIsSaved: a start that waits goes on waiting after a restart from a
// saved state, and comes at the same moment.
func TestWaitingIsSaved(t *testing.T) {
	d := knownLoop(t, 40)
	d.set(20, 39, 40, 30)
	d.run(5 * time.Minute)
	saved, err := d.c.SaveState()
	if err != nil {
		t.Fatal(err)
	}
	again := newDesk(t, spared, eager)
	again.set(20, 39, 40, 30)
	if err := again.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	again.wall = d.wall
	again.run(549 * time.Second)
	again.expect(outPump, false, SaysLoopGathers)
	again.run(time.Second)
	again.expect(outPump, true, SaysLoopGains)
}

func TestSparingMakesNoGarbage(t *testing.T) {
	d := knownLoop(t, 56)
	d.set(20, 39, 56, 30)
	wall := d.wall
	if n := testing.AllocsPerRun(2000, func() { d.c.Step(time.Second, wall, d.readings) }); n != 0 {
		t.Errorf("a step makes %g allocations", n)
	}
}

func TestImpossibleSavingIsRefused(t *testing.T) {
	for _, good := range []PumpSaving{{}, {GoodSunK: deadGapK, WaitedKS: mostWaitedKS, RanFor: longestSpan}} {
		if err := good.check("roof"); err != nil {
			t.Error(err)
		}
	}
	for _, bad := range []PumpSaving{{GoodSunK: -1}, {GoodSunK: deadGapK + 1}, {WaitedKS: -1}, {WaitedKS: 2 * mostWaitedKS}, {RanFor: -1}} {
		d := knownLoop(t, 40)
		*d.saving() = bad
		data, err := json.Marshal(&d.c.st)
		if err != nil {
			t.Fatal(err)
		}
		if err := d.c.RestoreState(data); err == nil {
			t.Errorf("%+v was taken", bad)
		}
	}
}

// TestAWaitIsToldOf: from the start difference of 8 K on, and down to 1 K below it.
func TestAWaitIsToldOf(t *testing.T) {
	d := knownLoop(t, 40)
	for _, tc := range []struct {
		gapK float64
		says Words
	}{{7.5, SaysLoopNoGain}, {8, SaysLoopGathers}, {7.25, SaysLoopGathers}, {7, SaysLoopNoGain}, {7.5, SaysLoopNoGain}, {9, SaysLoopGathers}, {6.75, SaysLoopNoGain}} {
		d.set(20, 30+tc.gapK, 40, 30)
		d.run(time.Second)
		d.expect(outPump, false, tc.says)
	}
}

// TestASpeedIsSparedByDefault, and a pump that is only on or off is not.
func TestASpeedIsSparedByDefault(t *testing.T) {
	for least, want := range map[float64]float64{0: 0, 0.3: DefaultSettings().PumpSavingPercent, 1: DefaultSettings().PumpSavingPercent} {
		if got := UsualPumpSaving(&Output{Actuator: LoopPump, LeastLevel: least}); got != want || DefaultSettings().PumpSavingPercent == 0 {
			t.Errorf("a pump from level %g on is spared by %g %%, want %g %%", least, got, want)
		}
	}
}
