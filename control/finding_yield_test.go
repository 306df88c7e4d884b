package control

import (
	"math"
	"testing"
	"time"
)

// TestPoorYield: weeks without a good day, in the half of the year that has sun.
func TestPoorYield(t *testing.T) {
	d := newDesk(t, func(p *Plan) { p.Systems[0].TankL, p.Systems[0].TankLossWK = 200, 1.5 })
	d.wall.Time = d.wall.Time.AddDate(0, -4, 0)
	// The sun gives the tank so many kelvin a day, by its bottom half.
	day := func(gainK float64) weather {
		return func(d *desk, n int, hour float64) {
			sunny(12)(d, n, hour)
			if hour >= 9 && hour < 15 {
				bottom := 25 + gainK*(hour-9)/6
				d.set(20, bottom+12, 45, bottom)
			} else if hour >= 15 && hour < 20 {
				d.set(15, 20, 45, 25+gainK)
			}
		}
	}
	d.days(60, day(20))
	d.never(FoundYieldPoor, func() {
		for range 5 { // a week of rain, then a good day
			d.days(7, day(3))
			d.days(1, day(18))
		}
	})
	d.days(60, day(3))
	d.expectFinding(FoundYieldPoor, true)
	d.days(5, day(3).deaf(atCollector, atTop, atBottom))
	d.c.lookForFindings(0, d.wall.Time)
	if !d.c.raised(FoundYieldPoor, 0, 0) {
		t.Error("the loss of all readings clears a poor yield")
	}
	d.days(2, day(20))
	d.expectFinding(FoundYieldPoor, false)
}

// TestALongGapIsNotAllSun: what a clear sky gives is counted by where the sun stands
// now, and so for no more than twice the time after which it is looked up anew.
func TestALongGapIsNotAllSun(t *testing.T) {
	for _, tc := range []struct{ passed, counted time.Duration }{
		{9 * time.Minute, 0}, {10 * time.Minute, 10 * time.Minute}, {20 * time.Minute, 20 * time.Minute}, {3 * time.Hour, 20 * time.Minute},
	} {
		d := newDesk(t).settled()
		d.c.st.House.SunFor = 0
		m := &d.c.st.Systems[0].Signs.Yield
		m.ClearKWhM2 = 0
		d.c.countClearSky(tc.passed)
		if want := m.ClearWM2 * tc.counted.Hours() / 1000; m.ClearWM2 < 500 && tc.counted > 0 || math.Abs(m.ClearKWhM2-want) > 1e-9 {
			t.Errorf("after %v: %g kWh/m² at %g W/m², want %g", tc.passed, m.ClearKWhM2, m.ClearWM2, want)
		}
	}
}
