package control

import (
	"testing"
	"time"
)

func cheapNights(p *Plan) {
	eachSystem(p, func(s *System) { s.Settings.OffPeakWindows = Windows{{22 * 60, 6 * 60}} })
}

// night lies inside of cheapNights, and outside of the heater's windows.
var night = Wall{Time: time.Date(2026, 7, 1, 23, 0, 0, 0, time.UTC), Trusted: true}

func TestOffPeakHeatsHigher(t *testing.T) {
	d := newDesk(t, eager, cheapNights)
	d.set(20, 20, 55, 40)
	d.settled()
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.wall = night
	d.set(20, 20, 55.1, 40)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows) // inside the band
	d.set(20, 20, 55, 40)
	d.run(time.Second)
	d.expect(outHeater, true, SaysOffPeak)
	d.set(20, 20, 59.9, 40)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysOffPeak)
	d.set(20, 20, 60, 40)
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
	d.set(20, 20, 50, 40)
	d.run(time.Minute)
	d.expect(outHeater, true, SaysOffPeak)
	d.wall = noon // the window ends, and with it the heating
	d.run(time.Minute)
	d.expect(outHeater, false, SaysHeaterOutsideWindows)
}

func TestOffPeakRests(t *testing.T) {
	for name, tc := range map[string]struct {
		arrange func(*desk)
		says    Words
	}{
		"in a holiday":              {func(d *desk) { _ = d.c.Holiday(24 * time.Hour) }, SaysHoliday},
		"without a clock":           {func(d *desk) { d.wall.Trusted = false }, SaysHeaterClock},
		"without a tank top":        {func(d *desk) { d.fail(atTop) }, SaysHeaterNoReading},
		"on a tank at its limit":    {func(d *desk) { d.set(20, 20, 50, 71) }, SaysHeaterTankFull},
		"against a person's will":   {func(d *desk) { _ = d.c.Override(outHeater, 0, time.Hour) }, SaysOverride},
		"in the service state":      {func(d *desk) { d.c.SetServicing(true) }, SaysServicing},
		"when the heater is locked": {func(d *desk) { d.c.st.Systems[0].HeaterLocked = true }, SaysHeaterLocked},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, eager, cheapNights)
			d.wall = night
			d.set(20, 20, 50, 40)
			d.settled()
			d.expect(outHeater, true, SaysOffPeak)
			tc.arrange(d)
			d.run(time.Minute)
			d.expect(outHeater, false, tc.says)
		})
	}
}
