package control

import (
	"math"
	"testing"
	"time"
)

// TestColdWaterIsForgottenByDrawing: what the cold water was is known less well
// with each tankful drawn, whatever has seen it drawn, and just as well after
// a fortnight in which nobody was there.
func TestColdWaterIsForgottenByDrawing(t *testing.T) {
	const tankfulJ = 200 * waterJLK * 30.0
	draws := map[string]struct {
		see    func(d *desk)
		drawnK float64
	}{
		"nobody draws": {func(d *desk) {
			for range 14 * 24 {
				d.run(time.Hour)
			}
		}, 0},
		"a fall of the tank": {func(d *desk) {
			d.set(20, 20, 44, 32)
			d.run(4 * time.Minute)
		}, 7 - 2*balanceBandK}, // the band is open on both sides
		"a meter in the cold inlet": {func(d *desk) {
			d.readings[atDraw].Value = 12
			d.run(10 * time.Minute)
			d.readings[atDraw].Value = 0
			d.run(time.Minute)
		}, 120 * 40.0 / 200},
		"the loop takes it": {func(d *desk) {
			if err := d.c.Override(0, 1, 2*time.Hour); err != nil {
				t.Fatal(err)
			}
			d.run(time.Minute)
			for k := range 10 {
				d.set(20, 20, 50-float64(k)/2, 40-float64(k)/2)
				d.run(2 * time.Minute)
			}
		}, 0},
	}
	for name, c := range draws {
		d := ringDesk(t, noon, eager, withTank, func(p *Plan) { p.Systems[0].TankLossWK = 0 })
		d.set(20, 20, 50, 40)
		if name == "a fall of the tank" {
			d.fail(atDraw)
		}
		d.settled()
		d.c.st.Systems[0].Balance.ColdC = 10
		before := d.c.EnergyOf(0).DrawnJ
		c.see(d)
		drawnJ := d.c.EnergyOf(0).DrawnJ - before
		if want := c.drawnK * 200 * waterJLK; math.Abs(drawnJ-want) > 0.1*want+1 {
			t.Errorf("%s: %.0f J drawn, want %.0f: the test is of something else", name, drawnJ, want)
		}
		got, want := d.c.st.Systems[0].Balance.ColdC, 10+coldDriftK*drawnJ/tankfulJ
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: cold water is taken for %.4f °C, want %.4f", name, got, want)
		}
	}
}

// TestColdWaterThatIsNotKnown: what was drawn before the tank's first look makes
// nothing of what is not known.
func TestColdWaterThatIsNotKnown(t *testing.T) {
	d := newDesk(t, withTank)
	s := &d.c.systems[0]
	s.forgetColdWater(1e6)
	if got := s.mem.Balance.ColdC; got != 0 {
		t.Errorf("cold water that is not known became %g °C", got)
	}
}

// TestColdWaterOfNoTank: a system that names no litres learns nothing of it.
func TestColdWaterOfNoTank(t *testing.T) {
	d := ringDesk(t, noon, eager)
	for _, knownC := range []float64{0, 12} {
		d.c.st.Systems[0].Balance.ColdC = knownC
		d.readings[atDraw].Value = 12
		d.run(time.Minute)
		if got := d.c.st.Systems[0].Balance.ColdC; got != knownC {
			t.Errorf("cold water of %g °C became %g without a tank's litres", knownC, got)
		}
	}
}
