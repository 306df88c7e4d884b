package control

import "testing"

// pressed is a sunny day with the loop's pressure at night, and how steep it
// follows the collector.
func pressed(nightBar, barK float64) weather {
	return func(d *desk, day int, hour float64) {
		sunny(20)(d, day, hour)
		d.readings[atExtra] = Reading{Value: nightBar + barK*max(0, d.readings[atCollector].Value-10)}
	}
}

func TestPressureThatFalls(t *testing.T) {
	d := deskWith(t, LoopPressure)
	d.days(20, pressed(1.8, 0.015))
	d.never(FoundPressureFalling, func() { d.days(20, pressed(1.65, 0.015)) }) // colder nights
	d.days(6, pressed(1.2, 0.015))
	d.expectFinding(FoundPressureFalling, true)
	m := &d.c.systems[0].mem.Signs.Pressure
	d.expectEvidence(FoundPressureFalling, SawPressureFalling, m.NightBar, m.UsualBar)
	d.days(10, pressed(1.2, 0.015).deaf(atExtra))
	d.expectFinding(FoundPressureFalling, true)
	d.days(10, pressed(1.8, 0.015)) // filled up
	d.expectFinding(FoundPressureFalling, false)
}

// TestLeakOverMonths: a hundredth of a bar a day is told before the pressure is
// low.
func TestLeakOverMonths(t *testing.T) {
	d := deskWith(t, LoopPressure)
	d.days(20, pressed(2, 0.015))
	for day := range 110 {
		d.days(1, pressed(2-0.01*float64(day), 0.015))
	}
	d.expectFinding(FoundPressureFalling, true)
	d.expectFinding(FoundPressureLow, false)
}

func TestVesselWithoutItsCushion(t *testing.T) {
	d := deskWith(t, LoopPressure)
	d.never(FoundVesselCushionLost, func() { d.days(5, pressed(1.5, 0.02)) })
	d.days(2, pressed(0.8, 0.06))
	d.expectEvidence(FoundVesselCushionLost, SawVesselSteep, 0.8, 4.1, 56)
	d.days(3, pressed(0.8, 0.06).deaf(atExtra))
	d.expectFinding(FoundVesselCushionLost, true)
	d.days(3, pressed(0.8, 0.06).deaf(atCollector))
	d.expectFinding(FoundVesselCushionLost, true)
	d.days(3, pressed(1.5, 0.02))
	d.expectFinding(FoundVesselCushionLost, false)
	d.days(1, pressed(-0.2, 0.02)) // cold fluid draws a vacuum
	d.expectFinding(FoundVesselCushionLost, true)
}
