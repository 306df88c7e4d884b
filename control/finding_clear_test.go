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
		{FoundClockJumps, func(d *desk, i int) { d.wall.Time = d.wall.Time.Add(time.Duration(1-2*(i%2)) * 2 * time.Hour) }},
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
				m.follow(40+bendK/4*float64(i%2*2-1), time.Minute) // bends by twice its step
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
