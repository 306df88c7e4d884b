package control

import (
	"math"
	"testing"
	"time"
)

func withTank(p *Plan) {
	for i := range p.Systems {
		p.Systems[i].TankL, p.Systems[i].TankLossWK, p.Systems[i].PumpW = 200, 2, 40
	}
}

// TestElectricityIsCountedByRunTime: power times time, and the cube of the
// speed for a pump that turns slower.
func TestElectricityIsCountedByRunTime(t *testing.T) {
	d := newDesk(t, eager, withTank, func(p *Plan) { p.Outputs[0].LeastLevel = 0.3 })
	if err := d.c.Override(0, 0.5, time.Hour); err != nil {
		t.Fatal(err)
	}
	if err := d.c.Override(1, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.settled()
	before := d.c.EnergyOf(0)
	d.run(10 * time.Minute)
	got := d.c.EnergyOf(0)
	if want := 2000 * 600.0; math.Abs(got.MeterJ-before.MeterJ-want) > 2000 {
		t.Errorf("heat from the meter %.0f J in ten minutes of 2 kW, want %.0f", got.MeterJ-before.MeterJ, want)
	}
	if want := 40 * 0.125 * 600; math.Abs(got.PumpJ-before.PumpJ-want) > 40 {
		t.Errorf("pump %.0f J in ten minutes at half speed, want %.0f", got.PumpJ-before.PumpJ, want)
	}
}

// TestMeterAtRest: what the loop's meter counts while the pump rests is neither the
// sun's heat nor a loss, however hot the collector; in natural circulation it is.
// Without one of its three readings nothing is counted by it.
// 2 l/min cooled by 35 K for 10 min are 700 l K, with the heat of water.
func TestMeterAtRest(t *testing.T) {
	const flowed = 700.0 * waterJLK
	natural := func(p *Plan) { p.Systems[0].Loop, p.Outputs = Natural, p.Outputs[1:] }
	pumped := func(*Plan) {}
	const atReturnOfLoop, atFlow = 4, 5
	for name, tc := range map[string]struct {
		loop  change
		level float64 // of the pump, by hand
		lost  int     // a reading that is too old, or none
		want  float64
	}{
		"at rest":                 {pumped, 0, none, 0},
		"pumped":                  {pumped, 1, none, flowed},
		"pumped, no flow reading": {pumped, 1, atFlow, 0},
		"pumped, no coil return":  {pumped, 1, atReturnOfLoop, 0},
		"natural":                 {natural, 0, none, flowed},
		"natural, no collector":   {natural, 0, atCollector, 0},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t, eager, withTank, withProbes(CoilReturn, LoopFlow), tc.loop)
			d.readings = append(d.readings, Reading{Value: 25}, Reading{Value: 2})
			d.set(20, 60, 40, 30)
			if err := d.c.Override(0, tc.level, time.Hour); err != nil {
				t.Fatal(err)
			}
			if tc.lost != none {
				d.readings[tc.lost].Age = time.Minute // too old, with its value still there
			}
			d.settled()
			before := d.c.EnergyOf(0)
			d.run(10 * time.Minute)
			got := d.c.EnergyOf(0)
			if sun := got.SunJ - before.SunJ; math.Abs(sun-tc.want) > 1 || got.LoopLossJ != before.LoopLossJ {
				t.Errorf("%.0f J from the sun and %.0f J lost, want %.0f J and nothing", sun, got.LoopLossJ-before.LoopLossJ, tc.want)
			}
		})
	}
}

// TestFlickerIsNoHeat: probes that flicker in their last digit for a day count
// for nothing.
func TestFlickerIsNoHeat(t *testing.T) {
	d := newDesk(t, eager, withTank)
	d.set(20, 20, 55, 35)
	d.settled()
	before := d.c.EnergyOf(0)
	for i := range 24 * 60 {
		flicker := 0.0625 * float64(i*7%3-1)
		if i%60 == 0 { // the loop runs, so that a rise would be the sun's
			if err := d.c.Override(0, 1, 2*time.Hour); err != nil {
				t.Fatal(err)
			}
		}
		d.set(20, 70, 55+flicker, 35+flicker) // too warm for the heater
		d.run(time.Minute)
	}
	got := d.c.EnergyOf(0)
	// What keeps the tank as warm as it was counts as the sun's: its loss, no more.
	if sun := got.SunJ - before.SunJ; sun > 1.1*(got.TankLossJ-before.TankLossJ) || got.DrawnJ != before.DrawnJ {
		t.Errorf("a day of flicker counted %.0f J from the sun and %.0f J drawn", got.SunJ-before.SunJ, got.DrawnJ-before.DrawnJ)
	}
	if want := 2 * 25 * 86400.0; math.Abs(got.TankLossJ-before.TankLossJ-want) > 0.01*want {
		t.Errorf("the tank lost %.0f J in a day, want UA times difference times a day, %.0f J", got.TankLossJ-before.TankLossJ, want)
	}
}

// TestDrawAndSunAreToldApart: a fall with the loop at rest was drawn, a rise
// with the loop running is the sun's, and a rise at rest comes off the next
// draw.
func TestDrawAndSunAreToldApart(t *testing.T) {
	const perKelvin = 200.0 * waterJLK
	band := balanceBandK * perKelvin
	quiet := func(p *Plan) { p.Systems[0].TankLossWK = 0 }
	d := newDesk(t, eager, withTank, quiet)
	d.settled()

	d.set(20, 20, 36, 26) // a fall of 4 K of the mean
	d.run(2 * time.Minute)
	if got := d.c.EnergyOf(0); math.Abs(got.DrawnJ-4*perKelvin) > 1.1*band || got.SunJ != 0 {
		t.Errorf("drawn %.0f J and sun %.0f J after a fall of 4 K, want %.0f J drawn", got.DrawnJ, got.SunJ, 4.0*perKelvin)
	}
	drawn := d.c.EnergyOf(0).DrawnJ
	for k := range 10 { // the sun heats by 5 K, in steps that a probe believes
		d.set(20, 70, 36+float64(k)/2, 26+float64(k)/2)
		d.run(2 * time.Minute)
	}
	if got := d.c.EnergyOf(0); math.Abs(got.SunJ-4.5*perKelvin) > 2.1*band || got.DrawnJ != drawn {
		t.Errorf("sun %.0f J after a rise of 4.5 K, drawn %.0f J more, want %.0f J and nothing", got.SunJ, got.DrawnJ-drawn, 4.5*perKelvin)
	}
	sun := d.c.EnergyOf(0).SunJ
	d.set(20, 20, 41, 33) // 1.25 K that nothing explains, gone again
	d.run(3 * time.Minute)
	d.set(20, 20, 40.5, 30.5)
	d.run(3 * time.Minute)
	if got := d.c.EnergyOf(0); got.SunJ != sun || got.DrawnJ-drawn > 2.1*band {
		t.Errorf("layers that settle counted as %.0f J of sun and %.0f J drawn", got.SunJ-sun, got.DrawnJ-drawn)
	}
}

// TestBalanceBeginsAnew: what happened while a probe was lost or the program
// was off is nobody's heat.
func TestBalanceBeginsAnew(t *testing.T) {
	d := newDesk(t, eager, withTank)
	d.settled()
	d.fail(3)
	d.run(10 * time.Minute)
	d.set(20, 20, 40, 12)
	d.run(10 * time.Minute)
	if got := d.c.EnergyOf(0); got.DrawnJ != 0 {
		t.Errorf("%.0f J drawn while the tank bottom was lost", got.DrawnJ)
	}
	d.c.Restarted()
	d.set(20, 20, 60, 50)
	d.run(10 * time.Minute)
	if got := d.c.EnergyOf(0); got.SunJ != 0 {
		t.Errorf("%.0f J from the sun while the program was off", got.SunJ)
	}
}

// TestAMeterTellsLittleHeatToo: less than a joule in a second is the sun's, and takes
// nothing back from what the loop has lost.
func TestAMeterTellsLittleHeatToo(t *testing.T) {
	d := newDesk(t, eager, withTank, withProbes(CoilReturn, LoopFlow))
	d.readings = append(d.readings, Reading{Value: 20}, Reading{Value: 0.1})
	d.set(20, 20.0625, 40, 30)
	if err := d.c.Override(0, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	d.settled()
	before := d.c.EnergyOf(0)
	d.run(10 * time.Minute)
	got := d.c.EnergyOf(0)
	if want := 1 * waterJLK * 0.0625; math.Abs(got.SunJ-before.SunJ-want) > 0.01*want || got.LoopLossJ != before.LoopLossJ {
		t.Errorf("%.2f J from the sun, want %.2f, and %.2f J lost", got.SunJ-before.SunJ, want, got.LoopLossJ-before.LoopLossJ)
	}
}

func TestHotLitres(t *testing.T) {
	d := newDesk(t, withTank)
	d.set(20, 20, 60, 60)
	d.settled()
	// All at 60 °C over water of 10 °C: 200 l x 50/30 (SIA 385/2's conversion).
	d.c.st.Systems[0].Balance.ColdC = 10
	if got, ok := d.c.HotLitres(0); !ok || math.Abs(got-200*50.0/30) > 0.5 {
		t.Errorf("a tank of 200 l at 60 °C gives %.1f l at 40 °C, want %.1f", got, 200*50.0/30)
	}
	// A store's coil brings water of 10 °C to 40 °C down to 10 + 30/0.83 = 46.1 °C.
	d.c.systems[0].plan.LoopFluidStore = true
	if got, ok := d.c.HotLitres(0); !ok || math.Abs(got-200*(60-46.145)/30) > 0.5 {
		t.Errorf("a store of 200 l at 60 °C gives %.1f l at 40 °C, want %.1f", got, 200*(60-46.145)/30)
	}
	d.c.systems[0].plan.LoopFluidStore = false
	d.set(20, 20, 38, 38)
	d.run(5 * time.Minute)
	if got, ok := d.c.HotLitres(0); !ok || got != 0 {
		t.Errorf("a tank of 38 °C gives %.1f l at 40 °C", got)
	}
	d.fail(2)
	d.run(time.Hour)
	if _, ok := d.c.HotLitres(0); ok {
		t.Error("litres are told without a tank top reading")
	}
}

// ringTank is a desk with a tank of 200 l and a circulation of 3 l/min and 8 W,
// which runs.
func ringTank(t *testing.T, changes ...change) *desk {
	t.Helper()
	d := ringDesk(t, breakfast, append([]change{withTank, func(p *Plan) {
		p.Systems[0].TankLossWK, p.Systems[0].CirculationLMin, p.Systems[0].CirculationW = 0, 3, 8
		p.Systems[0].Settings.CirculationWindows = Windows{{0, dayMinutes}}
		p.Systems[0].Settings.CirculationDaily = 24 * time.Hour
	}}, changes...)...)
	d.set(20, 20, 60, 60)
	d.readings[atReturn].Value = 40
	d.settled()
	d.expect(outRing, true, SaysCirculationWindow)
	return d
}

// TestCirculationIsToldApartFromDraws: flow times what its water has cooled by is
// the circulation's, and only what the tank has lost beyond it was drawn.
func TestCirculationIsToldApartFromDraws(t *testing.T) {
	const perKelvin = 200.0 * waterJLK
	d := ringTank(t)
	d.fail(atDraw) // so that draws are seen by the tank alone
	d.c.st.Systems[0].Balance = TankBalance{}
	d.run(time.Minute)
	before := d.c.EnergyOf(0)
	// 3 l/min cooled by 20 K for 20 min are 1200 l K: 6 K of a tank of 200 l.
	for minute := range 20 {
		cooled := 6 * float64(minute+1) / 20
		d.set(20, 20, 60-cooled, 60-cooled)
		d.readings[atReturn].Value = 40 - cooled
		d.run(time.Minute)
	}
	got := d.c.EnergyOf(0)
	if want := 6 * perKelvin; math.Abs(got.CirculationLossJ-before.CirculationLossJ-want) > 0.01*want {
		t.Errorf("%.0f J lost by the circulation, want %.0f J", got.CirculationLossJ-before.CirculationLossJ, want)
	}
	if got.DrawnJ-before.DrawnJ > 2.1*balanceBandK*perKelvin {
		t.Errorf("%.0f J drawn, though nobody drew", got.DrawnJ-before.DrawnJ)
	}
	if want := 8 * 1200.0; math.Abs(got.CirculationPumpJ-before.CirculationPumpJ-want) > 1e-6 || got.PumpJ != before.PumpJ {
		t.Errorf("%.0f J for the circulation's pump in 20 min of 8 W, want %.0f J, and %.0f J for the loop's", got.CirculationPumpJ-before.CirculationPumpJ, want, got.PumpJ-before.PumpJ)
	}
	d.set(20, 20, 50, 50) // 4 K at once: a draw
	d.readings[atReturn].Value = 34
	d.run(2 * time.Minute)
	if drawn := d.c.EnergyOf(0).DrawnJ - got.DrawnJ; math.Abs(drawn-4*perKelvin) > 1.5*perKelvin {
		t.Errorf("%.0f J drawn by a draw of 4 K, want %.0f J", drawn, 4*perKelvin)
	}
}

// TestCirculationThatCannotBeCounted: at rest, with its return lost, or with a
// return hotter than the tank it loses nothing that is known, and its counter never
// falls.
func TestCirculationThatCannotBeCounted(t *testing.T) {
	for name, spoil := range map[string]func(*desk){
		"return lost":      func(d *desk) { d.fail(atReturn) },
		"hotter than tank": func(d *desk) { d.set(20, 20, 41, 41); d.readings[atReturn].Value = 45 },
		"at rest":          func(d *desk) { _ = d.c.Override(outRing, 0, time.Hour) },
	} {
		d := ringTank(t)
		spoil(d)
		d.run(time.Minute)
		before := d.c.EnergyOf(0).CirculationLossJ
		d.run(10 * time.Minute)
		if got := d.c.EnergyOf(0).CirculationLossJ; got != before {
			t.Errorf("%s: the loss went from %.0f J to %.0f J", name, before, got)
		}
	}
}

// TestWhoseCirculationIsCounted: it takes a circulation that the program switches,
// both probes, and a known flow.
func TestWhoseCirculationIsCounted(t *testing.T) {
	d := ringTank(t)
	d.c.plan.Systems[0].CirculationLMin = 0.5 // however little it is
	if !d.c.CountsCirculation(0) {
		t.Error("there is all that it takes")
	}
	for name, without := range map[string]change{
		"flow":   func(p *Plan) { p.Systems[0].CirculationLMin = 0 },
		"output": func(p *Plan) { p.Outputs = p.Outputs[:outRing] },
		"return": func(p *Plan) { p.Probes = p.Probes[:atReturn] },
	} {
		c, err := New(testPlan(1, ring, func(p *Plan) { p.Systems[0].CirculationLMin = 3 }, without))
		if err != nil {
			t.Fatal(err)
		}
		if c.CountsCirculation(0) {
			t.Errorf("counted without its %s", name)
		}
	}
}
