package control

import "testing"

// TestPumpThatGrowsWeak: the gap at noon is larger for weeks than in the half
// year before.
func TestPumpThatGrowsWeak(t *testing.T) {
	d := newDesk(t)
	d.days(200, sunny(12))
	d.never(FoundPumpWeak, func() { d.days(40, sunny(14)) }) // as seasons go
	d.days(28, sunny(24))
	d.expectFinding(FoundPumpWeak, true)
	usual := d.c.systems[0].mem.Signs.Gap.Plain.UsualK
	d.days(35, sunny(24))
	d.expectEvidence(FoundPumpWeak, SawPumpWeakGap, 23.6, usual)
	d.days(20, sunny(24).deaf(atCollector))
	d.expectFinding(FoundPumpWeak, true)
	d.days(20, func(d *desk, _ int, _ float64) { d.set(10, 9, 40, 25) }) // no sun proves nothing
	d.expectFinding(FoundPumpWeak, true)
	d.days(70, sunny(12))
	d.expectFinding(FoundPumpWeak, false)
}

// TestCoilThatScales: the fluid comes back hotter than it used to.
func TestCoilThatScales(t *testing.T) {
	// The fluid gives a share of its difference to the tank.
	day := func(share float64) weather {
		return func(d *desk, n int, hour float64) {
			sunny(20)(d, n, hour)
			collector, bottom := d.readings[atCollector].Value, d.readings[atBottom].Value
			d.readings[4] = Reading{Value: collector - share*(collector-bottom)}
		}
	}
	d := deskWith(t, CoilReturn)
	d.days(10, day(0.8))
	d.never(FoundCoilScaled, func() { d.days(20, day(0.65)) })
	d.days(20, day(0.3))
	d.expectEvidence(FoundCoilScaled, SawCoilScaled, 30.2, 80)
	d.days(10, day(0.3).deaf(4))
	d.expectFinding(FoundCoilScaled, true)
	d.days(20, day(0.8))
	d.expectFinding(FoundCoilScaled, false)
}

// TestPumpThatIsWeakFromOneWeekToTheNext: no season makes such a step, so that half
// a year need not be learned first. A single hot week is no step.
func TestPumpThatIsWeakFromOneWeekToTheNext(t *testing.T) {
	d := newDesk(t)
	d.days(9*7, sunny(12))
	d.never(FoundPumpWeak, func() {
		d.days(7, sunny(24))
		d.days(14, sunny(12))
	})
	d.days(15, sunny(24))
	d.expectEvidence(FoundPumpWeak, SawPumpWeakStep, 23.6, 11.8)
	d.days(14, func(d *desk, _ int, _ float64) { d.set(10, 9, 40, 25) }) // no sun proves nothing
	d.expectFinding(FoundPumpWeak, true)
	d.days(14, sunny(16)) // neither here nor there
	d.expectFinding(FoundPumpWeak, true)
	d.days(15, sunny(12))
	d.expectFinding(FoundPumpWeak, false)
}

// TestStepsOfTheGap: what is a step, and when it is over.
func TestStepsOfTheGap(t *testing.T) {
	for _, c := range []struct {
		weeks       int
		just, last  float64
		steps, back bool
	}{
		{5, 10, 14.6, true, false},
		{5, 10, 14.4, false, false},
		{4, 10, 14.6, false, false},
		{5, 10, 12.1, false, false},
		{5, 10, 11.9, false, true},
		{5, 0.9, 10, true, false},
		{5, 0, 10, false, false},
	} {
		trend := GapTrend{JustK: c.just, LastK: c.last}
		m := GapSigns{Weeks: c.weeks, Plain: trend, Lit: trend}
		if m.steps() != c.steps || trend.back() != c.back {
			t.Errorf("%+v: a step %v, over %v", c, m.steps(), trend.back())
		}
	}
}
