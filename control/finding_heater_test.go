package control

import (
	"testing"
	"time"
)

// describedTank gives a system of the desk a volume: 200 l and 2 kW make 8.7 K/h.
func describedTank(p *Plan) { p.Systems[0].TankL = 200 }

// heats lets the heater heat, by hand, for some hours of spells: the top rises so
// many K/h from 35 °C, and a draw ends a spell after 2 h.
func (d *desk) heats(hours int, kH float64) {
	d.by(hours*60, func(minute int) {
		if minute%60 == 0 {
			if err := d.c.Override(outHeater, 1, 2*time.Hour); err != nil {
				d.t.Fatal(err)
			}
		}
		d.set(15, 15, 35+kH*float64(minute%120)/60, 25)
	})
}

func TestHeaterThatGrowsSlow(t *testing.T) {
	d := newDesk(t)
	d.heats(60, 12)
	d.never(FoundHeaterSlow, func() { d.heats(60, 10) })
	d.heats(60, 5)
	d.expectFinding(FoundHeaterSlow, true)
	m := &d.c.systems[0].mem.Signs.Speed
	d.expectEvidence(FoundHeaterSlow, SawHeaterSlow, m.NowKH, m.UsualKH)
	if m.NowKH > 7 || m.UsualKH < 11 {
		t.Errorf("learned are %.1f K/h and usually %.1f K/h", m.NowKH, m.UsualKH)
	}
	d.by(600, func(int) { d.fail(atTop) })
	d.expectFinding(FoundHeaterSlow, true)
	d.heats(60, 12)
	d.expectFinding(FoundHeaterSlow, false)
}

// TestScaleOverYears: lime that takes a third of the speed in two thousand spells
// is not taken for usual.
func TestScaleOverYears(t *testing.T) {
	d := newDesk(t)
	d.heats(60, 12)
	for part := range 100 {
		d.heats(10, 12-5*float64(part)/100)
	}
	d.expectFinding(FoundHeaterSlow, true)
}

func TestHeaterThatIsNotAsDescribed(t *testing.T) {
	d := newDesk(t, describedTank)
	d.heats(60, 3)
	d.expectEvidence(FoundHeaterNotAsDescribed, SawHeaterNotAsDescribed, 3, 8.7)
	d.by(600, func(int) { d.fail(atTop) })
	d.expectFinding(FoundHeaterNotAsDescribed, true)
	d.heats(80, 12)
	d.expectFinding(FoundHeaterNotAsDescribed, false)

	d = newDesk(t, describedTank) // the element heats the upper half alone
	d.never(FoundHeaterNotAsDescribed, func() { d.heats(60, 20) })
}

// TestThermostatThatIsSetLow: the top stops at the same height again and again,
// though draws and windows cut the heating into spells.
func TestThermostatThatIsSetLow(t *testing.T) {
	// Whenever it is on the heater lifts the top by 12 K/h, up to a limit; every 3 h
	// it is on for 90 min at least, and a draw cools the top to 40 °C.
	topC := 40.0
	spells := func(d *desk, n int, limitC float64) {
		d.by(n*180, func(minute int) {
			if minute%180 == 0 {
				if err := d.c.Override(outHeater, 1, 90*time.Minute); err != nil {
					t.Fatal(err)
				}
			}
			switch {
			case minute%180 == 179:
				topC = 40
			case d.out != nil && d.out.Decisions[outHeater].On():
				topC = max(topC, min(limitC, topC+0.2))
			}
			d.set(15, 15, topC, 25)
		})
	}
	d := newDesk(t)
	d.never(FoundHeaterThermostatLow, func() { spells(d, 20, 70) })
	spells(d, 6, 45)
	d.by(30, func(minute int) {
		d.holdOn(t, outHeater)
		d.set(15, 15, min(45, 40+float64(minute)/5), 25)
	})
	d.expectFinding(FoundHeaterThermostatLow, true)
	d.expectEvidence(FoundHeaterThermostatLow, SawHeaterFlat, 45)
	d.by(120, func(int) { d.fail(atTop) })
	d.expectFinding(FoundHeaterThermostatLow, true)
	d.by(120, func(int) { d.set(20, 20, 65, 50) }) // the sun is no proof
	d.expectFinding(FoundHeaterThermostatLow, true)
	d.heats(4, 12) // up to 59 °C
	d.expectFinding(FoundHeaterThermostatLow, false)
}

// TestCutOutThatHasTripped: a heater falls silent after its tank was near the
// limit; by its current, and by its heat.
func TestCutOutThatHasTripped(t *testing.T) {
	cold := func(d *desk, minutes int, currentA float64) {
		d.by(minutes, func(minute int) {
			if minute%60 == 0 {
				d.holdOn(t, outHeater)
			}
			d.set(15, 15, 40, 25)
			if len(d.readings) > atExtra {
				d.readings[atExtra] = Reading{Value: currentA}
			}
		})
	}
	d := deskWith(t, HeaterCurrent)
	d.by(20, func(int) { d.set(15, 15, 76, 40) })
	cold(d, 10, 0)
	d.expectEvidence(FoundHeaterCutOut, SawHeaterCutOut, 76)
	d.expectFinding(FoundHeaterNoCurrent, false) // its consequence
	d.by(60, func(int) { d.fail(atExtra); d.fail(atTop) })
	d.expectFinding(FoundHeaterCutOut, true)
	cold(d, 15, 8.7)
	d.expectFinding(FoundHeaterCutOut, false)

	d = deskWith(t, HeaterCurrent) // a tank that was never hot trips nothing
	d.never(FoundHeaterCutOut, func() { cold(d, 10, 0) })
	d.expectFinding(FoundHeaterNoCurrent, true)

	d = newDesk(t, describedTank)
	d.by(20, func(int) { d.set(15, 15, 76, 40) })
	cold(d, 230, 0)
	d.expectFinding(FoundHeaterCutOut, true)
	d = newDesk(t, describedTank) // heat that came after it fell silent has tripped nothing
	cold(d, 60, 0)
	d.by(20, func(int) { d.set(15, 15, 76, 40) })
	d.never(FoundHeaterCutOut, func() { cold(d, 230, 0) })
	d.expectFinding(FoundHeaterGivesNothing, true)
	d = newDesk(t, describedTank)
	d.never(FoundHeaterCutOut, func() { cold(d, 230, 0) })
	d.expectFinding(FoundHeaterGivesNothing, true)
}

func TestTankThatIsPartEmpty(t *testing.T) {
	d := newDesk(t, describedTank)
	rise := func(minutes int, kMin float64) {
		d.holdOn(t, outHeater)
		d.by(minutes, func(minute int) { d.set(15, 15, 30+kMin*float64(minute), 25) })
	}
	rise(20, 2)
	d.expectFinding(FoundTankPartEmpty, true)
	d.by(24*60, func(int) { d.fail(atTop) })
	d.expectFinding(FoundTankPartEmpty, true)
	d.heats(16, 10)
	d.expectFinding(FoundTankPartEmpty, false)

	d = newDesk(t, describedTank) // a small element just below the probe
	d.never(FoundTankPartEmpty, func() { rise(25, 0.9) })
}

// TestWhereAHeaterReachesItsGoal: the goal is the hottest that the heater heats to,
// or, with a thermostat that is known to open early, where comfort ends.
func TestWhereAHeaterReachesItsGoal(t *testing.T) {
	d := newDesk(t)
	s := &d.c.systems[0]
	stop, most := s.set.HeaterStopC, s.heatsTo()
	for _, c := range []struct {
		flatC, topC float64
		want        bool
	}{
		{stop - flatSameK, stop, false},
		{stop - 0.7*flatSameK, stop, false},
		{stop - 1.2*flatSameK, stop, true},
		{stop - 5, stop - 0.7*flatSameK, true},
		{stop - 5, stop - 1.2*flatSameK, false},
		{most, most - 0.7*flatSameK, true},
		{most, most - 1.2*flatSameK, false},
	} {
		s.mem.Signs.Heater.FlatC = c.flatC
		if got := s.reaches(c.topC); got != c.want {
			t.Errorf("a thermostat that opens at %g °C, a top of %g °C: reached %v", c.flatC, c.topC, got)
		}
	}
}
