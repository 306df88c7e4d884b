package control

import (
	"math"
	"testing"
	"time"
)

// nights have air that swings by 8 K from week to week around airC; the collector
// stands so far above what the outdoor probe reads, which feels a room of 20 °C
// by a share.
func nights(airC, gapK, room float64) weather {
	return func(d *desk, day int, hour float64) {
		air := airC + 8*math.Sin(float64(day)/3)
		outdoor := air + room*(20-air)
		collector := air + gapK
		if hour > 9 && hour < 15 {
			collector = air + 40
		}
		d.set(outdoor, collector, 60, 58)
	}
}

func TestCollectorThatDrifts(t *testing.T) {
	d := newDesk(t)
	d.never(FoundCollectorDrifts, func() { d.days(30, nights(14, 2, 0)) })
	d.never(FoundCollectorDrifts, func() { d.days(30, nights(14, -6, 0)) }) // clear skies
	d.days(30, nights(14, 6, 0))
	d.expectFinding(FoundCollectorDrifts, true)
	m := &d.c.systems[0].mem.Signs.Night
	d.expectEvidence(FoundCollectorDrifts, SawNightGap, m.GapK, 89)
	d.days(5, nights(14, 0, 0).deaf(atOutdoor))
	d.expectFinding(FoundCollectorDrifts, true)
	d.days(15, nights(14, -1, 0))
	d.expectFinding(FoundCollectorDrifts, false)
}

// TestOutdoorProbeOnAWarmWall: it follows the nights by a part, or is too warm by
// far. Clear skies cool a collector below the air as well, by as much in each night.
func TestOutdoorProbeOnAWarmWall(t *testing.T) {
	d := newDesk(t)
	d.never(FoundOutdoorWarm, func() { d.days(60, nights(5, -7, 0)) })

	d = newDesk(t)
	d.days(60, nights(5, -1, 0))
	d.days(140, nights(5, -1, 0.4))
	d.expectFinding(FoundOutdoorWarm, true)
	d.expectEvidence(FoundOutdoorWarm, SawWarmWall, 100*d.c.systems[0].mem.Signs.Night.Follow.CrossK2/d.c.systems[0].mem.Signs.Night.Follow.VarK2)
	d.days(5, nights(5, -1, 0).deaf(atOutdoor))
	d.expectFinding(FoundOutdoorWarm, true)
	d.days(200, nights(5, -1, 0))
	d.expectFinding(FoundOutdoorWarm, false)

	d = newDesk(t)
	d.days(20, nights(6, -13, 0))
	d.expectEvidence(FoundOutdoorWarm, SawNightGap, -13, 12)
	d.days(20, nights(6, -3, 0))
	d.expectFinding(FoundOutdoorWarm, false)
}

func TestUnsteadyProbe(t *testing.T) {
	d := newDesk(t)
	flickers := func(hours int, k float64) {
		d.by(hours*60, func(minute int) {
			if minute%480 == 0 {
				d.atNight()
				d.wall.Time = d.wall.Time.Add(-3 * time.Hour)
			}
			d.set(5, 4, 45+k*float64(minute%2), 40)
		})
	}
	d.never(FoundProbeUnsteady, func() { flickers(48, 0.15) })
	flickers(48, 0.6)
	d.expectEvidence(FoundProbeUnsteady, SawProbeUnsteady, 1.2)
	d.by(480, func(int) { d.fail(atTop) })
	d.expectFinding(FoundProbeUnsteady, true)
	flickers(48, 0.05)
	d.expectFinding(FoundProbeUnsteady, false)

	d = newDesk(t) // by day draws and sun move it
	d.wall = noon
	d.never(FoundProbeUnsteady, func() {
		d.by(7*60, func(minute int) { d.set(20, 30, 45+0.6*float64(minute%2), 40) })
	})
}
