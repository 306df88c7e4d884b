package control

import (
	"testing"
	"time"
)

// ring adds a circulation pump with its return, a draw meter and a button.
func ring(p *Plan) {
	for i := range p.Systems {
		p.Probes = append(p.Probes, Probe{i, CirculationReturn}, Probe{i, DrawFlow}, Probe{i, CirculationButton})
		p.Outputs = append(p.Outputs, Output{System: i, Actuator: HotWaterCirculation})
	}
}

const (
	atReturn = iota + 4
	atDraw
	atButton
)

const outRing = 2

// breakfast lies inside of the default windows of circulation and not of the
// heater.
var breakfast = Wall{Time: time.Date(2026, 7, 1, 7, 10, 0, 0, time.UTC), Trusted: true}

// ringDesk is a desk with a circulation: a tank top of 55 °C, a return of 25 °C.
func ringDesk(t *testing.T, wall Wall, changes ...change) *desk {
	t.Helper()
	c, err := New(testPlan(1, append(changes, ring)...))
	if err != nil {
		t.Fatal(err)
	}
	d := &desk{t: t, c: c, wall: wall, readings: make([]Reading, len(c.plan.Probes))}
	d.set(20, 20, 55, 40)
	d.readings[atReturn] = Reading{Value: 25}
	return d.settled()
}

func TestCirculationInItsWindows(t *testing.T) {
	d := ringDesk(t, breakfast)
	d.expect(outRing, true, SaysCirculationWindow)
	d.readings[atReturn].Value = 44
	d.run(time.Minute)
	d.expect(outRing, true, SaysCirculationWindow)
	d.readings[atReturn].Value = 45
	d.run(time.Minute)
	d.expect(outRing, false, SaysCirculationWarm)
	d.readings[atReturn].Value = 41
	d.run(time.Minute)
	d.expect(outRing, false, SaysCirculationWarm)
	d.readings[atReturn].Value = 40
	d.run(time.Minute)
	d.expect(outRing, true, SaysCirculationWindow)
	d.run(time.Hour) // the window ends
	d.expect(outRing, false, SaysCirculationOutside)
}

// TestCirculationOfALukewarmTank: the return is never waited for to be hotter
// than the tank can make it.
func TestCirculationOfALukewarmTank(t *testing.T) {
	d := ringDesk(t, breakfast)
	d.set(20, 20, 44, 40)
	d.readings[atReturn].Value = 39
	d.run(time.Minute)
	d.expect(outRing, false, SaysCirculationWarm)
}

func TestCirculationOnDemand(t *testing.T) {
	for name, probe := range map[string]int{"by a draw": atDraw, "by the button": atButton} {
		t.Run(name, func(t *testing.T) {
			d := ringDesk(t, noon)
			d.expect(outRing, false, SaysCirculationOutside)
			d.readings[probe].Value = 1
			d.run(2 * time.Second)
			d.expect(outRing, true, SaysCirculationAsked)
			d.run(3 * time.Minute) // it may be held for long: one wish is one run
			d.readings[atReturn].Value = 30
			d.expect(outRing, true, SaysCirculationAsked)
			d.run(2 * time.Minute)
			d.expect(outRing, false, SaysCirculationOutside)
			d.readings[probe].Value = 0
			d.run(time.Minute)
			d.readings[probe].Value = 1
			d.run(2 * time.Second)
			d.expect(outRing, true, SaysCirculationAsked)
			d.readings[atReturn].Value = 50
			d.run(time.Minute)
			d.expect(outRing, false, SaysCirculationWarm)
		})
	}
}

func TestCirculationRests(t *testing.T) {
	for name, tc := range map[string]struct {
		arrange func(*desk)
		says    Words
	}{
		"on a cold tank":       {func(d *desk) { d.set(20, 20, 40, 30) }, SaysCirculationTankCold},
		"without a tank top":   {func(d *desk) { d.fail(atTop) }, SaysCirculationBlind},
		"in a holiday":         {func(d *desk) { _ = d.c.Holiday(24 * time.Hour) }, SaysHoliday},
		"without a clock":      {func(d *desk) { d.wall.Trusted = false }, SaysCirculationClock},
		"in the service state": {func(d *desk) { d.c.SetServicing(true) }, SaysServicing},
		"by hand":              {func(d *desk) { _ = d.c.Override(outRing, 0, time.Hour) }, SaysOverride},
	} {
		t.Run(name, func(t *testing.T) {
			d := ringDesk(t, breakfast)
			d.expect(outRing, true, SaysCirculationWindow)
			tc.arrange(d)
			d.readings[atReturn] = Reading{Value: 25}
			d.run(time.Minute)
			d.expect(outRing, false, tc.says)
		})
	}
}

func TestCirculationNeedsWarmWaterToBeginAgain(t *testing.T) {
	d := ringDesk(t, breakfast)
	d.set(20, 20, 40, 30)
	d.run(time.Minute)
	d.set(20, 20, 42, 30)
	d.run(time.Minute)
	d.expect(outRing, false, SaysCirculationTankCold)
	d.set(20, 20, 43, 30)
	d.run(time.Minute)
	d.expect(outRing, true, SaysCirculationWindow)
}

// TestCirculationWithoutItsReturn runs through its windows, for its share of
// the day.
func TestCirculationWithoutItsReturn(t *testing.T) {
	d := ringDesk(t, breakfast, func(p *Plan) {
		p.Systems[0].Settings.CirculationWindows = Windows{{0, dayMinutes}}
		p.Systems[0].Settings.CirculationDaily = 2 * time.Hour
	})
	d.fail(atReturn)
	d.run(time.Hour)
	d.expect(outRing, true, SaysCirculationUnmetered)
	d.run(time.Hour)
	d.expect(outRing, false, SaysCirculationSpent)
	d.readings[atButton].Value = 1
	d.run(time.Minute)
	d.expect(outRing, false, SaysCirculationSpent)
	saved, err := d.c.SaveState() // the day's share outlasts a restart
	if err != nil {
		t.Fatal(err)
	}
	if err := d.c.RestoreState(saved); err != nil {
		t.Fatal(err)
	}
	d.run(21 * time.Hour)
	d.expect(outRing, false, SaysCirculationSpent)
	on := d.c.Output(outRing).On
	if on < 2*time.Hour-time.Minute || on > 2*time.Hour+time.Minute {
		t.Errorf("it has run for %v in a day", on)
	}
	d.run(2 * time.Hour)
	if d.c.Output(outRing).On <= on {
		t.Error("it does not run the day after")
	}
}

// TestHygieneHeatsTheRing: a heat-up that was held to its end is taken through
// the pipes, once; the next hot hours of a sunny week are not.
func TestHygieneHeatsTheRing(t *testing.T) {
	d := ringDesk(t, noon, func(p *Plan) {
		p.Systems[0].Tempered = true
		p.Systems[0].Settings.CirculationWindows = nil
	})
	d.c.st.Systems[0].HygieneSince, d.c.st.Systems[0].LineSince = 8*24*time.Hour, 8*24*time.Hour
	d.set(20, 20, 61, 50)
	d.flicker(59 * time.Minute)
	d.expect(outRing, false, SaysCirculationOutside)
	d.flicker(3 * time.Minute)
	d.expect(outRing, true, SaysCirculationHygiene)
	d.run(3 * time.Minute) // until the hot water has come round
	d.readings[atReturn].Value = 52
	d.run(31 * time.Minute)
	d.expect(outRing, false, SaysCirculationWarm)
	d.readings[atReturn].Value = 25
	for range 3 { // a sunny week
		d.set(20, 20, 50, 50)
		d.run(10 * time.Hour)
		d.set(20, 20, 61, 50)
		d.run(2 * time.Hour)
		d.expect(outRing, false, SaysCirculationOutside)
	}
	if on := d.c.Output(outRing).On; on > 35*time.Minute {
		t.Errorf("the ring was heated for %v", on)
	}
}

// TestNaturalLoopHasAllButAPump: heater, hygiene and circulation work on a loop
// that moves by itself.
func TestNaturalLoopHasAllButAPump(t *testing.T) {
	d := ringDesk(t, noon, func(p *Plan) {
		p.Systems[0].Loop, p.Systems[0].Tempered = Natural, true
		p.Systems[0].Settings.HygieneInterval = 24 * time.Hour
		p.Systems[0].Settings.HygieneWindows = Windows{{0, dayMinutes}}
		p.Outputs = p.Outputs[1:]
	})
	const heater, circulation = 0, 1
	d.c.st.Systems[0].HygieneSince, d.c.st.Systems[0].LineSince = 25*time.Hour, 25*time.Hour
	d.run(time.Minute)
	d.expect(heater, true, SaysHygiene)
	d.set(20, 90, 62, 50)
	d.flicker(62 * time.Minute)
	d.expect(heater, false, SaysHeaterOutsideWindows)
	d.expect(circulation, true, SaysCirculationHygiene)
	d.set(20, 90, 71, 70) // nothing holds the sun back
	d.run(time.Minute)
	d.expect(heater, false, SaysHeaterTankFull)
}

// TestTheRingAgesLikeTheTank: an outage, and a memory that is lost, make the ring
// due with the tank.
func TestTheRingAgesLikeTheTank(t *testing.T) {
	d := ringDesk(t, noon)
	m := &d.c.st.Systems[0]
	d.c.Restarted()
	d.c.WasAway(48 * time.Hour)
	if m.LineSince < 48*time.Hour {
		t.Errorf("after an outage the ring was heated %v ago", m.LineSince)
	}
	d.c.MemoryLost()
	if interval := d.c.plan.Systems[0].Settings.HygieneInterval; m.LineSince < interval {
		t.Errorf("after a lost memory the ring was heated %v ago", m.LineSince)
	}
}
