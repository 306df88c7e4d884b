package plant

import (
	"math"
	"strings"
	"testing"

	"sunstoker/physics"

	"pgregory.net/rapid"
)

// Whatever happens to the plant, its book closes, nothing becomes NaN and
// nothing leaves the bounds of nature.
func TestBookClosesUnderAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Typical()
		c.Layers = rapid.IntRange(1, 30).Draw(t, "layers")
		c.TankLitres = rapid.Float64Range(20, 1000).Draw(t, "litres")
		c.CollectorNodes = rapid.IntRange(1, 8).Draw(t, "nodes")
		c.PumpFlowLMin = rapid.Float64Range(0.1, 60).Draw(t, "flow")
		c.CheckValve = rapid.Bool().Draw(t, "valve")
		c.CollectorAboveTankM = rapid.Float64Range(-5, 10).Draw(t, "rise")
		c.CoilUAWK = rapid.Float64Range(0, 5000).Draw(t, "coil")
		c.HotPipe.VolumeL = rapid.Float64Range(0, 20).Draw(t, "pipe")
		p, err := New(c)
		if err != nil {
			t.Skip(err)
		}
		drawnJ := 0.0
		for range 150 {
			s := Surroundings{
				AbsorbableWM2: rapid.Float64Range(0, 1300).Draw(t, "sun"),
				AirC:          rapid.Float64Range(-35, 45).Draw(t, "air"),
				SkyDropK:      rapid.Float64Range(0, 25).Draw(t, "sky"),
				RoomC:         rapid.Float64Range(2, 35).Draw(t, "room"),
				ColdC:         rapid.Float64Range(2, 30).Draw(t, "cold"),
			}
			p.SetPump(rapid.SampledFrom([]float64{0, 0.01, 0.5, 1}).Draw(t, "pump"))
			p.SetHeater(rapid.Bool().Draw(t, "heater"))
			p.Damage.CheckValveOpen = rapid.Bool().Draw(t, "stuck open")
			p.Damage.ReliefValveBlocked = rapid.Bool().Draw(t, "blocked")
			stepS := rapid.SampledFrom([]float64{0.1, 1, 10, 60}).Draw(t, "seconds")
			for range 10 {
				got := p.Tap(Draw{Litres: rapid.SampledFrom([]float64{0, 0.1, 5, 30}).Draw(t, "draw"), TapC: 45, UsefulC: 40}, s.ColdC)
				drawnJ += got.DeliveredJ
				if got.AtTemperatureJ > got.AskedJ*(1+1e-9)+1e-6 {
					t.Fatalf("at temperature %g J of %g J asked", got.AtTemperatureJ, got.AskedJ)
				}
				p.Step(&s, stepS)
			}
			for _, temp := range append(p.LayersC(nil), p.loop.field.cellC...) {
				if !(temp > -65 && temp < 330) {
					t.Fatalf("temperature %g", temp)
				}
			}
		}
		b := p.Book()
		turned := math.Abs(b.SunJ) + b.HeaterJ + math.Abs(drawnJ) + p.storedJ()
		if !(math.Abs(b.ImbalanceJ()) < 1e-9*turned) {
			t.Fatalf("imbalance %g J of %g J: %+v", b.ImbalanceJ(), turned, b)
		}
	})
}

func TestColdCollectorFreezesWaterNotGlycol(t *testing.T) {
	c := Typical()
	for _, fluid := range []physics.Fluid{physics.Water(), c.Fluid} {
		c.Fluid = fluid
		p := build(t, c)
		s := Surroundings{AirC: -6, RoomC: 15, SkyDropK: 20}
		for range 600 {
			p.Step(&s, 60)
		}
		h := p.Truth().Hazards
		if h.Freezing != (fluid.FreezingPointC() > -5) {
			t.Errorf("%v at %.1f degC: freezing %v", fluid, p.CollectorC(), h.Freezing)
		}
		if p.CollectorC() > -8 || p.CollectorC() < -10 {
			t.Errorf("collector under a clear sky at %.2f degC, want about 3 K below the air", p.CollectorC())
		}
	}
}

func TestSteamIsSeenAndFlowIntoItToo(t *testing.T) {
	p := build(t, Typical())
	s := Surroundings{AbsorbableWM2: 1000, AirC: 30, RoomC: 20}
	for range 300 {
		p.Step(&s, 60)
	}
	h := p.Truth().Hazards
	if !h.Steaming || h.FlowIntoSteam {
		t.Errorf("stagnating at %.0f degC: %+v", p.CollectorC(), h)
	}
	p.SetPump(1)
	p.Step(&s, 1)
	if !p.Truth().Hazards.FlowIntoSteam {
		t.Error("the pump was started on a steaming collector and nothing shows it")
	}
}

func TestHeaterGuards(t *testing.T) {
	run := func(c Config, d Damage) *Plant {
		p := build(t, c)
		p.Damage = d
		p.SetHeater(true)
		s := Surroundings{AirC: 10, RoomC: 20, ColdC: 10}
		for range 3000 {
			p.Step(&s, 60)
		}
		return p
	}
	if got := run(Typical(), Damage{}).Truth(); got.HottestC > 72 || got.CutOutOpen {
		t.Errorf("thermostat at 70: %+v", got)
	}
	if got := run(Typical(), Damage{ThermostatWelded: true}).Truth(); got.HottestC > 87 || !got.CutOutOpen || got.Heating {
		t.Errorf("cut-out at 85: %+v", got)
	}
	p := run(Typical(), Damage{ThermostatWelded: true})
	s := Surroundings{AirC: 10, RoomC: 20, ColdC: 10}
	p.Tap(Draw{Litres: 250, TapC: 90}, 10)
	p.Step(&s, 10)
	if p.Truth().Heating {
		t.Error("the cut-out closed by itself")
	}
	if tally := p.Tally(); tally.CutOutTrips != 1 || tally.CutOutS < 3600 {
		t.Errorf("it has opened %d times for %.0f s; want once, for hours", tally.CutOutTrips, tally.CutOutS)
	}
	p.ResetCutOut()
	p.Step(&s, 10)
	if !p.Truth().Heating {
		t.Error("the reset did not bring the heater back")
	}
	all := Damage{ThermostatWelded: true, CutOutBridged: true}
	if got := run(Typical(), all).Truth(); got.HottestC > 97 {
		t.Errorf("relief valve at 95: %+v", got)
	}
	all.ReliefValveBlocked = true
	if got := run(Typical(), all).Truth(); !got.Hazards.TankBoiling || got.HottestC > 144 {
		t.Errorf("nothing left to stop it: %+v", got)
	}
	if got := run(Typical(), Damage{ElementOpen: true}).Book(); got.HeaterJ != 0 {
		t.Errorf("open element took %g J", got.HeaterJ)
	}
}

// The cut-out feels the water, not the current: a tank that the sun overheats
// opens it with the heater off, and a person must reset it.
func TestSunCanOpenTheCutOut(t *testing.T) {
	c := Typical()
	c.StartC = 80
	p := build(t, c)
	p.SetPump(1)
	s := Surroundings{AbsorbableWM2: 1000, AirC: 30, RoomC: 20, ColdC: 15}
	for range 8 * 60 {
		p.Step(&s, 60)
	}
	if tr := p.Truth(); !tr.CutOutOpen || p.Book().HeaterJ != 0 {
		t.Errorf("tank at %.1f degC: %+v", tr.HottestC, tr)
	}
}

// A stuck check valve lets the tank heat the roof at night; a sound one does
// not.
func TestReverseCirculation(t *testing.T) {
	night := func(stuck bool) *Plant {
		c := Typical()
		c.StartC = 60
		p := build(t, c)
		p.Damage.CheckValveOpen = stuck
		s := Surroundings{AirC: 0, RoomC: 20, ColdC: 10, SkyDropK: 15}
		for range 12 * 60 {
			p.Step(&s, 60)
		}
		return p
	}
	sound, stuck := night(false), night(true)
	if sound.Book().LoopToTankJ != 0 || sound.CollectorC() > 0 {
		t.Errorf("sound valve: %g J, collector %g", sound.Book().LoopToTankJ, sound.CollectorC())
	}
	if lost := -stuck.Book().LoopToTankJ / 3.6e6; lost < 0.5 || lost > 12 {
		t.Errorf("stuck valve: %.2f kWh lost in a night", lost)
	}
	if got := stuck.Truth(); got.FlowKgS >= 0 || got.CollectorC < 5 {
		t.Errorf("stuck valve: flow %g kg/s, collector %g degC", got.FlowKgS, got.CollectorC)
	}
}

// By day a collector that hangs above its tank cannot drive the loop by itself
// for long: what rises into the hot pipe is the lighter column.
func TestCollectorAboveTheTankDoesNotCirculateByDay(t *testing.T) {
	c := Typical()
	c.CheckValve = false
	p := build(t, c)
	s := Surroundings{AbsorbableWM2: 700, AirC: 20, RoomC: 20, ColdC: 10}
	for range 6 * 60 {
		p.Step(&s, 60)
	}
	if kWh := p.Book().LoopToTankJ / 3.6e6; kWh > 2 {
		t.Errorf("%.2f kWh went down by themselves", kWh)
	}
}

// A plant with natural circulation: collector below the tank, no pump, no check
// valve. It must bring a good part of the day's heat into the tank and lose
// little of it at night, at any step.
func TestNaturalCirculation(t *testing.T) {
	var atEnd []float64
	for _, stepS := range []float64{60, 10, 1} {
		c := Typical()
		c.CheckValve = false
		c.CollectorAboveTankM = -1.8
		c.LoopHeadPa = 3000
		p := build(t, c)
		s := Surroundings{AirC: 20, RoomC: 20, ColdC: 10, AbsorbableWM2: 700}
		steps := int(6 * 3600 / stepS)
		for range steps {
			p.Step(&s, stepS)
		}
		day := p.Book()
		if share := day.LoopToTankJ / day.SunJ; share < 0.4 || share > 0.95 {
			t.Errorf("step %g s: %.2f of the absorbed heat reached the tank", stepS, share)
		}
		if flow := p.Truth().FlowKgS; flow < 0.005 || flow > 0.08 {
			t.Errorf("step %g s: %g kg/s by day", stepS, flow)
		}
		s.AbsorbableWM2, s.AirC, s.SkyDropK = 0, 5, 15
		for range 2 * steps {
			p.Step(&s, stepS)
		}
		if lostJ := day.LoopToTankJ - p.Book().LoopToTankJ; lostJ > 0.1*day.LoopToTankJ {
			t.Errorf("step %g s: %.2f kWh lost at night through the loop", stepS, lostJ/3.6e6)
		}
		atEnd = append(atEnd, p.Book().LoopToTankJ)
	}
	near(t, "heat by the longest step", atEnd[0], atEnd[2], 0.02*atEnd[2])
	near(t, "heat by the middle step", atEnd[1], atEnd[2], 0.01*atEnd[2])
}

func TestTallyCountsHoursAndStarts(t *testing.T) {
	p := build(t, Typical())
	hot := Surroundings{AbsorbableWM2: 1000, AirC: 30, RoomC: 20, ColdC: 10}
	for i := range 100 {
		p.SetPump(float64(i / 25 % 2)) // two starts of 25 steps
		p.SetHeater(i < 10)
		p.Step(&hot, 60)
	}
	got := p.Tally()
	if got.PumpStarts != 2 || got.PumpS != 50*60 || got.HeaterStarts != 1 || got.HeaterS != 600 {
		t.Errorf("%+v", got)
	}
	p.SetPump(0)
	for range 300 {
		p.Step(&hot, 60)
	}
	near(t, "hottest collector", p.Tally().HottestCollectorC, p.Config().Collector.StagnationC(1000, 30), 0.5)
	if s := p.Tally().SteamingS; s < 3600 || s > 300*60 {
		t.Errorf("steaming for %g s", s)
	}
}

func TestTemperingValveAndItsFault(t *testing.T) {
	c := Typical()
	c.StartC = 80
	p := build(t, c)
	if got := p.Truth().AtTapC; got != 55 {
		t.Errorf("tempered tap at %g", got)
	}
	p.Damage.TemperingStuckHot = true
	if got := p.Truth().AtTapC; got != 80 {
		t.Errorf("tap with stuck valve at %g", got)
	}
}

func TestInputsAreClamped(t *testing.T) {
	p := build(t, Typical())
	for _, in := range []struct{ level, want float64 }{{-1, 0}, {2, 1}, {math.NaN(), 0}, {0.3, 0.3}} {
		p.SetPump(in.level)
		if p.level != in.want {
			t.Errorf("level %g became %g", in.level, p.level)
		}
	}
	before := p.Book()
	p.Step(&Surroundings{AirC: 5, RoomC: 5}, math.NaN())
	p.Step(&Surroundings{AirC: 5, RoomC: 5}, -3)
	if p.Book() != before {
		t.Error("a step of no length moved something")
	}
}

func TestConfigErrorsNameTheFigure(t *testing.T) {
	for _, c := range []struct {
		change func(*Config)
		want   string
	}{
		{func(c *Config) { c.Layers = 0 }, "number of layers"},
		{func(c *Config) { c.TankLitres = math.NaN() }, "content in litres"},
		{func(c *Config) { c.CoilTop = 0.01 }, "coil's top"},
		{func(c *Config) { c.Collector.Eta0 = 1.5 }, "eta0"},
		{func(c *Config) { c.Collector.CapacityJM2K = 0 }, "heat capacity"},
		{func(c *Config) { c.Layers, c.TankConductivityWmK = 96, 500 }, "layers"},
	} {
		cfg := Typical()
		c.change(&cfg)
		if _, err := New(cfg); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("want an error about %q, got %v", c.want, err)
		}
	}
}

func TestStepAllocatesNothing(t *testing.T) {
	p := build(t, Typical())
	i := 0
	if got := testing.AllocsPerRun(20000, func() { benchStep(p, i); i++ }); got != 0 {
		t.Errorf("%g allocations a step", got)
	}
}
