package control

import (
	"testing"
	"time"
)

// TestLoopThatStandsStill: a loop without a pump in which nothing flows is told of
// in the sun, and no longer once the collector is near its tank again.
func TestLoopThatStandsStill(t *testing.T) {
	natural := func(p *Plan) {
		p.Systems[0].Loop = Natural
		p.Outputs = []Output{{System: 0, Actuator: BackupHeater}}
	}
	d := newDesk(t, natural)
	d.wall = noon
	sun := func(collector float64) func(int) {
		return func(minute int) { d.set(20, collector+0.1*float64(minute%2), 50, 30) }
	}
	d.never(FoundLoopStandsStill, func() { d.by(8*60, sun(70)) })
	d.wall = noon
	d.by(40, sun(110))
	d.expectFinding(FoundLoopStandsStill, true)
	d.by(60, func(int) { d.fail(atCollector) })
	d.expectFinding(FoundLoopStandsStill, true) // the loss of its reading clears nothing
	d.wall = noon
	d.by(40, sun(55))
	d.expectFinding(FoundLoopStandsStill, false)
}

// TestSunInTheDark: a collector probe that reads too warm lets the pump run at
// night. It is told of half an hour later, and no longer after a night of rest.
func TestSunInTheDark(t *testing.T) {
	d := newDesk(t)
	night := func(collector float64) {
		d.atNight()
		d.by(3*60, func(minute int) { d.set(5, collector+0.1*float64(minute%2), 40, 30+0.1*float64(minute%2)) })
	}
	night(-1)
	d.expectFinding(FoundSunInTheDark, false)
	night(39)
	d.expectFinding(FoundSunInTheDark, true)
	d.wall = noon
	d.by(60, func(int) { d.set(20, 25, 40, 30) })
	d.expectFinding(FoundSunInTheDark, true) // by day nothing proves the contrary
	night(-1)
	night(-1)
	d.expectFinding(FoundSunInTheDark, false)
}

// TestWarmAirIsNoSunInTheDark: on a warm night water from the mains is colder than
// the air, and the pump may gain from that.
func TestWarmAirIsNoSunInTheDark(t *testing.T) {
	d := newDesk(t)
	d.atNight()
	d.never(FoundSunInTheDark, func() {
		d.by(4*60, func(minute int) { d.set(24, 25+0.1*float64(minute%2), 40, 12+0.1*float64(minute%2)) })
	})
}

// TestProbeInTheAir: a collector probe that follows the air through a day and a
// night hangs in it. One that the sun heats, or that snow keeps still, does not.
func TestProbeInTheAir(t *testing.T) {
	air := func(hour float64) float64 { return 10 + 6*max(0, 1-abs(hour-15)/9) }
	d := newDesk(t)
	d.never(FoundProbeOutOfPocket, func() {
		d.days(5, func(d *desk, _ int, hour float64) { d.set(air(hour), air(hour)-3, 60, 58) })
	})
	d.days(2, func(d *desk, _ int, hour float64) { d.set(air(hour), air(hour)+0.5, 60, 58) })
	d.expectFinding(FoundProbeOutOfPocket, true)
	d.days(3, func(d *desk, _ int, hour float64) {
		d.set(air(hour), air(hour)+30*max(0, 1-abs(hour-13)/5), 60, 58)
	})
	d.expectFinding(FoundProbeOutOfPocket, false)
}

func abs(x float64) float64 { return max(x, -x) }

// TestWildReadings: a probe that bends by many kelvin from minute to minute is
// unsteady at any time of day, and steady again once it has rested for hours.
func TestWildReadings(t *testing.T) {
	d := newDesk(t)
	d.wall = noon
	d.never(FoundProbeUnsteady, func() { // a bath an hour bends the tank bottom as well
		d.by(8*60, func(minute int) { d.set(20, 30, 50, 40-20*float64(min(minute%60, 3))/3) })
	})
	d.wall = noon
	d.by(3*60, func(minute int) { d.set(20, 30, 50, 30+3*float64(minute%2)) })
	d.expectFinding(FoundProbeUnsteady, true)
	d.by(10*60, func(minute int) { d.set(20, 30, 50, 30+0.06*float64(minute%2)) })
	d.expectFinding(FoundProbeUnsteady, false)
}

// TestOneLeapOfTheClockIsEnough: unlike three small jumps, and summer time's hour.
func TestOneLeapOfTheClockIsEnough(t *testing.T) {
	for leap, told := range map[time.Duration]bool{
		time.Hour: false, 90 * time.Minute: false, 90*time.Minute + time.Second: true,
		-time.Hour: false, -90 * time.Minute: false, -90*time.Minute - time.Second: true, -7 * time.Hour: true,
	} {
		d := newDesk(t)
		d.by(30, func(int) {})
		d.wall.Time = d.wall.Time.Add(leap)
		d.by(5, func(int) {})
		d.expectFinding(FoundClockJumps, told)
	}
}
