package control

import (
	"testing"
	"time"
)

// noFloor is a house whose heater has neither windows nor a floor.
func noFloor(p *Plan) {
	eachSystem(p, func(s *System) { s.Settings.HeaterWindows, s.Settings.HeaterFloorC = nil, 0 })
}

func TestTankIsKeptFromFreezing(t *testing.T) {
	d := newDesk(t, eager, noFloor)
	d.wall = winter
	if err := d.c.Holiday(30 * 24 * time.Hour); err != nil {
		t.Fatal(err)
	}
	d.set(-8, -8, 4.1, 3)
	d.settled()
	d.expect(outHeater, false, SaysHoliday)
	d.set(-8, -8, 4, 3)
	d.run(time.Second)
	d.expect(outHeater, true, SaysTankFrost)
	d.set(-8, -8, 14.9, 3)
	d.run(time.Hour)
	d.expect(outHeater, true, SaysTankFrost)
	d.set(-8, -8, 15, 3)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHoliday)
	// Ice may form at the bottom first.
	d.set(-8, -8, 9, 1)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysTankFrost)
	// Cold mains water in winter is no frost.
	d.set(-8, -8, 20, 1)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHoliday)
}

func TestTankFrostRests(t *testing.T) {
	for name, tc := range map[string]struct {
		arrange func(*desk)
		says    Words
	}{
		"without a tank top":             {func(d *desk) { d.fail(atTop) }, SaysHeaterNoReading},
		"in the service state":           {func(d *desk) { d.c.SetServicing(true) }, SaysServicing},
		"when a person switched off":     {func(d *desk) { _ = d.c.Override(outHeater, 0, time.Hour) }, SaysOverride},
		"when the heater is locked":      {func(d *desk) { d.c.st.Systems[0].HeaterLocked = true }, SaysHeaterLocked},
		"when the bottom says it is not": {func(d *desk) { d.set(-8, -8, 3, 30) }, SaysHeaterOutsideWindows},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, eager, noFloor)
			d.wall = winter
			d.set(-8, -8, 3, 3)
			d.settled()
			d.expect(outHeater, true, SaysTankFrost)
			tc.arrange(d)
			d.run(2 * time.Minute)
			d.expect(outHeater, false, tc.says)
		})
	}
}

// TestTankFrostKeepsToTheSupply: it goes before what a person wants.
func TestTankFrostKeepsToTheSupply(t *testing.T) {
	d := shared(t, 2000, noFloor)
	d.wall = winter
	d.tops(3, 40)
	for i := range d.readings {
		if p := d.c.plan.Probes[i]; p.Place == TankBottom {
			d.readings[i].Value = 3
		}
	}
	d.settled()
	if err := d.c.Override(outAnnexeHeater, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.run(2 * time.Minute)
	d.expect(outHeater, true, SaysTankFrost)
	d.expect(outAnnexeHeater, false, SaysSupplyUsed)
}
