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
