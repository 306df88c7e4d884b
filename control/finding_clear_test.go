package control

import (
	"testing"
	"time"
)

// TestHalfADayWithoutAnotherOneIsProof: starts and jumps of the clock that have
// ended are forgotten within a day, however many there were.
func TestHalfADayWithoutAnotherOneIsProof(t *testing.T) {
	still := func(int) {}
	for _, c := range []struct {
		kind FindingKind
		once func(d *desk, i int)
	}{
		{FoundRestartsMany, func(d *desk, _ int) { d.c.Restarted() }},
		{FoundClockJumps, func(d *desk, i int) { d.wall.Time = d.wall.Time.Add(time.Duration(1-2*(i%2)) * 20 * time.Minute) }},
	} {
		d := newDesk(t)
		for i := range 200 {
			c.once(d, i)
			d.by(15, still)
		}
		d.expectFinding(c.kind, true)
		d.by(12*60, still)
		d.expectFinding(c.kind, true)
		d.by(70, still)
		d.expectFinding(c.kind, false)
		c.once(d, 0)
		d.by(15, still)
		d.expectFinding(c.kind, false) // one more is no row of them
	}
}

// TestTwoQuietHoursOutweighAnUnsteadyWeek, and two hours that are less unsteady
// do not.
func TestTwoQuietHoursOutweighAnUnsteadyWeek(t *testing.T) {
	for _, c := range []struct {
		bendK float64 // from look to look, afterwards
		calm  bool
	}{{0.3, true}, {0.5, false}} {
		var m UnrestSigns
		flicker := func(length time.Duration, bendK float64) {
			for i := range int(length / time.Minute) {
				m.follow(40+bendK/4*float64(i%2*2-1), time.Minute, unrestMemory) // bends by twice its step
			}
		}
		flicker(168*time.Hour, 40)
		if m.Unrest < 30 {
			t.Fatalf("unrest of %g K", m.Unrest)
		}
		flicker(119*time.Minute, c.bendK)
		if m.Unrest < 1 {
			t.Errorf("less than two hours outweigh the week: %g K", m.Unrest)
		}
		flicker(2*time.Hour, c.bendK)
		if calm := m.Unrest < unrestWellK; calm != c.calm {
			t.Errorf("bends of %g K: calm is %v, unrest %g K", c.bendK, calm, m.Unrest)
		}
	}
}

// TestAPersonsWordClears: the end of the service state takes what waits for proof
// away with what led to it, and leaves what a reading shows. What is still wrong is
// found anew.
func TestAPersonsWordClears(t *testing.T) {
	d := newDesk(t, describedTank)
	still := func(int) {}
	for kind := range findingTable {
		if row := &findingTable[kind]; row.word {
			d.c.followSign(FindingKind(kind), 0, 0, true, row.raiseAfter)
		}
	}
	d.c.st.Systems[0].HeaterLocked, d.c.st.Systems[0].HeaterEffort = true, 9*time.Hour
	d.c.st.Systems[0].DumpLocked = true
	d.c.st.Systems[0].Signs.Loop = LoopSigns{Vain: 7, Pause: time.Hour}
	d.set(15, 15, 90, 40) // far too hot
	d.by(5, still)
	d.c.SetServicing(false) // there was none
	d.by(5, still)
	d.expectFinding(FoundHeaterRelayStuck, true)
	d.c.SetServicing(true)
	d.by(5, still)
	d.expectFinding(FoundHeaterRelayStuck, true)
	d.c.SetServicing(false)
	d.by(1, still)
	for i := range d.out.Findings {
		if f := &d.out.Findings[i]; f.Kind.TakesWord() {
			t.Errorf("%s stands after the word", f.Kind)
		}
	}
	d.expectFinding(FoundTankTooHot, true)
	m := &d.c.st.Systems[0]
	if m.HeaterLocked || m.HeaterEffort != d.c.systems[0].heatBudget-d.c.systems[0].heaterTry() || m.DumpLocked || m.Signs.Loop.Pause > 0 || m.Signs.Loop.Vain > 0 {
		t.Errorf("locked %v after %v, dump %v, loop %+v", m.HeaterLocked, m.HeaterEffort, m.DumpLocked, m.Signs.Loop)
	}
}

// TestWhatWaitsForAWordSaysSo, and nothing else does.
func TestWhatWaitsForAWordSaysSo(t *testing.T) {
	for _, kind := range FindingKinds() {
		if says := len(kind.Check()) > len(findingTable[kind].check); says != kind.TakesWord() {
			t.Errorf("%s: says so is %v", kind, says)
		}
	}
}

// TestTwoSoundNightsOutweighADrift: a collector probe that was exchanged is trusted
// after two nights near the air, not after one.
func TestTwoSoundNightsOutweighADrift(t *testing.T) {
	d := newDesk(t)
	nights := func(n int, aboveAirK float64) {
		d.by(n*24*60, func(int) { d.set(12, 12+aboveAirK, 45, 40) })
	}
	nights(20, 6)
	d.expectFinding(FoundCollectorDrifts, true)
	nights(1, 1)
	d.expectFinding(FoundCollectorDrifts, true)
	nights(1, 6)
	nights(1, 1)
	d.expectFinding(FoundCollectorDrifts, true)
	nights(1, 1)
	d.expectFinding(FoundCollectorDrifts, false)
}

// TestAWrongProbeExplainsASwap: what is known to be no temperature is not taken for
// the other probe's.
func TestAWrongProbeExplainsASwap(t *testing.T) {
	for _, kind := range []FindingKind{FoundProbeFrozen, FoundProbeOutOfRange, FoundProbeOutOfPocket} {
		for _, place := range []Place{TankTop, TankBottom} {
			d := newDesk(t)
			d.by(200, func(int) { d.set(20, 25, 30, 38) })
			d.expectFinding(FoundTankProbesSwapped, true)
			d.by(35, func(int) { d.c.followSign(kind, 0, int(place), true, time.Hour) })
			if d.c.raised(FoundTankProbesSwapped, 0, 0) {
				t.Errorf("%s at the %s does not explain it", kind, place)
			}
		}
	}
}

// TestAThermostatAboveTheTargetIsNoFault: only a person's hand heats up to it.
func TestAThermostatAboveTheTargetIsNoFault(t *testing.T) {
	d := newDesk(t, describedTank)
	quiet := func(minute int) {
		if minute%60 == 0 {
			d.holdOn(t, outHeater)
		}
		d.set(15, 15, min(66, 40+float64(minute)/5), 25)
	}
	d.never(FoundHeaterGivesNothing, func() { d.by(10*60, quiet) })
	d.expectFinding(FoundHeaterThermostatLow, false)
}

// TestSwappedProbesExplainTheSunInTheNight: a "collector" that is the tank is warm
// at night.
func TestSwappedProbesExplainTheSunInTheNight(t *testing.T) {
	d := sunAtMidnight(t)
	d.c.followSign(FoundCollectorSwapped, 0, 0, true, time.Hour)
	d.flicker(7 * time.Hour)
	d.expectFinding(FoundClockWrong, false)
}
