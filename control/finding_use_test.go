package control

import (
	"testing"
	"time"
)

func TestCirculationThatRunsAlways(t *testing.T) {
	night := Wall{Time: time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC), Trusted: true}
	d := ringDesk(t, night)
	at := func(back float64) func(int) {
		return func(int) { d.set(15, 12, 55, 40); d.readings[atReturn] = Reading{Value: back} }
	}
	d.never(FoundCirculationAlways, func() { d.by(150, at(40)) }) // cools slowly
	d.wall = night
	d.by(240, at(50))
	d.expectFinding(FoundCirculationAlways, true)
	if v := d.out.Findings[0].Evidence.Values; v[0] != 50 || v[1] < 3600 {
		t.Errorf("evidence is %v", v)
	}
	d.by(60, func(int) { d.fail(atReturn) })
	d.expectFinding(FoundCirculationAlways, true)
	d.wall = night
	d.by(90, at(30))
	d.expectFinding(FoundCirculationAlways, false)
}

func TestCirculationThatStaysCold(t *testing.T) {
	d := ringDesk(t, breakfast)
	at := func(back, top float64) func(int) {
		return func(minute int) {
			if minute == 0 {
				d.holdOn(t, outRing)
			}
			d.set(15, 12, top, 40)
			d.readings[atReturn] = Reading{Value: back}
		}
	}
	d.never(FoundCirculationCold, func() { d.by(90, at(25, 40)) }) // a lukewarm tank makes no hot line
	d.by(60, at(22, 55))
	d.expectEvidence(FoundCirculationCold, SawCirculationCold, 22, 55)
	d.by(60, func(int) { d.fail(atReturn) })
	d.expectFinding(FoundCirculationCold, true)
	d.by(60, at(44, 55))
	d.expectFinding(FoundCirculationCold, false)
}

func TestLukewarmTaps(t *testing.T) {
	// Somebody draws for an hour in the morning, so hot, from a tank so hot.
	day := func(tapC, topC float64) weather {
		return func(d *desk, _ int, hour float64) {
			d.set(15, 14, topC, 40)
			d.readings[atExtra] = Reading{Value: 20}
			if hour > 7 && hour < 8 {
				d.readings[atExtra] = Reading{Value: tapC}
			}
		}
	}
	d := deskWith(t, Tap)
	d.never(FoundTapLukewarm, func() { d.days(3, day(44, 60)) })
	d.never(FoundTapLukewarm, func() { d.days(3, day(32, 38)) }) // the tank itself is lukewarm
	d.days(2, day(32, 60))
	d.expectEvidence(FoundTapLukewarm, SawTapLukewarm, 32, 60)
	d.days(2, day(20, 60)) // nobody draws
	d.expectFinding(FoundTapLukewarm, true)
	d.days(2, day(48, 60).deaf(atExtra))
	d.expectFinding(FoundTapLukewarm, true)
	d.days(2, day(46, 60))
	d.expectFinding(FoundTapLukewarm, false)
}
