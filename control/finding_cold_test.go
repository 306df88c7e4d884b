package control

import "testing"

func TestTankNearFreezing(t *testing.T) {
	d := newDesk(t)
	d.wall = winter
	d.never(FoundTankNearFreezing, func() { d.by(30, func(int) { d.set(-5, -4, 12, 1) }) }) // mains water below
	d.by(15, func(int) { d.set(-5, -4, 1.5, 1) })
	d.expectEvidence(FoundTankNearFreezing, SawTankNearFreezing, 1.5)
	d.by(120, func(int) { d.fail(atTop); d.fail(atBottom) })
	d.expectFinding(FoundTankNearFreezing, true)
	d.by(120, func(int) { d.set(-5, -4, 3, 2) }) // within the band
	d.expectFinding(FoundTankNearFreezing, true)
	d.by(70, func(int) { d.set(-5, -4, 12, 6) })
	d.expectFinding(FoundTankNearFreezing, false)
}

func TestFrostRunsThatAddUp(t *testing.T) {
	d := newDesk(t, waterFilled)
	d.wall = winter
	night := func(collector float64) func(int) {
		return func(int) { d.set(-6, collector, 45, 40) }
	}
	d.never(FoundFrostRuns, func() { d.by(3*60, night(3)) })
	d.by(3*60, night(3))
	d.expectFinding(FoundFrostRuns, true)
	hours := d.c.systems[0].mem.Signs.Night.FrostH
	d.expectEvidence(FoundFrostRuns, SawFrostRuns, hours*3600, 40)
	if hours < 5 || hours > 6 {
		t.Errorf("6 h of circulation count as %.1f h", hours)
	}
	d.by(60, func(int) { d.fail(atCollector); d.fail(atTop); d.fail(atBottom) })
	if !d.c.raised(FoundFrostRuns, 0, 0) {
		t.Error("the loss of its readings clears the tale of frost runs")
	}
	d.by(30*60, func(int) { d.set(8, 12, 45, 40) })
	d.expectFinding(FoundFrostRuns, false)
}
