package control

import (
	"testing"
	"time"
)

// TestProbeThatWakesUpAgainAndAgain: no single power-up value is believed, and what
// comes again and again is told. The value is of the DS18B20's datasheet (from memory).
func TestProbeThatWakesUpAgainAndAgain(t *testing.T) {
	wakes := func(d *desk, times int, between time.Duration) {
		for range times {
			d.readings[atTop].Value = 85
			d.run(time.Second)
			d.readings[atTop].Value = 40
			d.run(between)
		}
	}
	d := newDesk(t).settled()
	d.never(FoundProbePowersUp, func() { wakes(d, 4, 10*time.Minute) })
	d.run(9 * time.Hour)
	d.never(FoundProbePowersUp, func() { wakes(d, 12, 61*time.Minute) }) // one in an hour fades
	wakes(d, 8, 5*time.Minute)
	d.expectEvidence(FoundProbePowersUp, SawProbePowersUp, 85)
	wakes(d, 40, 5*time.Minute)
	d.run(8 * time.Hour)
	d.expectFinding(FoundProbePowersUp, true)
	d.run(3 * time.Hour)
	d.expectFinding(FoundProbePowersUp, false)
}

// TestProbeThatStaysAtItsPowerUpValue is another matter, and so is a hot tank.
func TestProbeThatStaysAtItsPowerUpValue(t *testing.T) {
	d := newDesk(t).settled()
	d.never(FoundProbePowersUp, func() {
		d.readings[atTop].Value = 85
		d.run(time.Hour)
		for range 20 {
			d.readings[atTop].Value = 84.9
			d.run(time.Minute)
			d.readings[atTop].Value = 85
			d.run(time.Minute)
		}
	})
}

// TestPowerUpsAreCounted: which samples count, and how far.
func TestPowerUpsAreCounted(t *testing.T) {
	for _, c := range []struct {
		value float64
		mem   ProbeState
		want  float64
	}{
		{powerUpC, ProbeState{Known: true}, 1},
		{powerUpC, ProbeState{Known: true, Doubt: powerUpC}, 1},
		{powerUpC, ProbeState{Known: true, Doubted: true, Doubt: 40}, 1},
		{powerUpC, ProbeState{Known: true, Doubted: true, Doubt: powerUpC}, 0},
		{powerUpC, ProbeState{}, 0},
		{powerUpC - 1, ProbeState{Known: true}, 0},
		{powerUpC - 1, ProbeState{}, 0},
		{powerUpC, ProbeState{Known: true, PowerUps: 9.5}, 10},
	} {
		m := c.mem
		if m.countPowerUp(c.value); m.PowerUps != c.want {
			t.Errorf("%g to %+v: counted %g, want %g", c.value, c.mem, m.PowerUps, c.want)
		}
	}
}

// TestPowerUpsAtTheirBorders: five stand for a finding, none for its end.
func TestPowerUpsAtTheirBorders(t *testing.T) {
	for _, c := range []struct {
		account   float64
		was, told bool
	}{{5, false, true}, {4.9, false, false}, {0.5, true, true}, {1, true, true}, {0, true, false}} {
		d := newDesk(t)
		looks := func(account float64) {
			for range 48 * 60 {
				d.c.st.Probes[atCollector].PowerUps = account
				d.c.lookAtPowerUps(time.Minute)
			}
		}
		if c.was {
			looks(manyPowerUps)
		}
		looks(c.account)
		if got := d.c.raised(FoundProbePowersUp, 0, int(Collector)); got != c.told {
			t.Errorf("an account of %g, told before %v: told %v, want %v", c.account, c.was, got, c.told)
		}
	}
}
