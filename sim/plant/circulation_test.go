package plant

import (
	"math"
	"testing"

	"sunstoker/physics"
)

type pipeHeat struct {
	Ring struct {
		Case struct {
			LossWM  float64 `json:"q_W_m"`
			LengthM float64 `json:"L_m"`
			KgS     float64 `json:"m_kg_s"`
			DropK   float64 `json:"drop_K"`
		} `json:"case"`
	} `json:"circulation_loop"`
	Wait struct {
		Case struct {
			InnerMm float64 `json:"inner_mm"`
			LengthM float64 `json:"L_m"`
			LMin    float64 `json:"l_min"`
			Litres  float64 `json:"litre"`
			Seconds float64 `json:"seconds"`
		} `json:"case"`
	} `json:"wait_for_hot_water"`
	Cooling struct {
		Case struct {
			StartC  float64 `json:"T0"`
			RoomC   float64 `json:"Ta"`
			Tau     float64 `json:"tau_min"`
			Minutes float64 `json:"after_min"`
			EndC    float64 `json:"T"`
		} `json:"case"`
	} `json:"pipe_cooling"`
}

func readPipeHeat(t *testing.T) (f pipeHeat) {
	t.Helper()
	readJSON(t, "pipe_heat.json", &f)
	return f
}

// endless is a plant whose tank hardly changes, with a hot-water line.
func endless(startC float64, line Circulation) Config {
	c := Typical()
	c.TankLitres, c.TankUAWK, c.StartC, c.TemperingC, c.ReliefC = 1e5, 0, startC, 0, 0
	c.Circulation = line
	return c
}

// Source: heat balance of a ring of pipe, dT = q L/(m cp), and exponential
// approach to the room (package physics), in the file.
func TestDropAroundTheRing(t *testing.T) {
	k := readPipeHeat(t).Ring.Case
	const hotC, roomC = 60.0, 20.0
	rateWK := k.KgS * WaterJKgK
	// The loss per kelvin that gives the case's loss: over the mean excess of an
	// exponential fall, the logarithmic one.
	first, last := hotC-roomC, hotC-roomC-k.DropK
	uaWK := k.LossWM * k.LengthM / (k.DropK / math.Log(first/last))
	near(t, "drop by the pipe formula", hotC-physics.PipeOutletC(hotC, roomC, uaWK/k.LengthM, k.LengthM, rateWK), k.DropK, 1e-3)

	half := Pipe{VolumeL: physics.PipeContentLitre(0.016, k.LengthM/2), UAWK: uaWK / 2}
	for _, stepS := range []float64{1, 10, 60} {
		p := build(t, endless(hotC, Circulation{Supply: half, Return: half, PumpFlowLMin: k.KgS * 60, ReturnHeight: 0.5}))
		p.SetCirculation(true)
		s := Surroundings{AirC: 0, RoomC: roomC, ColdC: 10}
		for range int(3600 / stepS) {
			p.Step(&s, stepS)
		}
		// A step's loss takes the water that came in during it as there from the
		// beginning; that is half a step too much.
		tolerance := 0.01 + 0.6*stepS/300*k.DropK
		near(t, "drop", p.Truth().CirculationSupplyC-p.Truth().CirculationReturnC, k.DropK, tolerance)
		before := p.Book().CirculationLossJ
		p.Step(&s, stepS)
		near(t, "loss in W", (p.Book().CirculationLossJ-before)/stepS, k.LossWM*k.LengthM, 0.02*k.LossWM*k.LengthM)
	}
}

// Source: t = V/flow, in the file. A line that has gone cold gives no useful
// water before its content is out; then it is as hot as the tank.
func TestWaitForHotWater(t *testing.T) {
	k := readPipeHeat(t).Wait.Case
	content := physics.PipeContentLitre(k.InnerMm/1000, k.LengthM)
	near(t, "content", content, k.Litres, 1e-3)
	p := build(t, endless(60, Circulation{Supply: Pipe{VolumeL: content, UAWK: 3}}))
	s := Surroundings{AirC: 20, RoomC: 20, ColdC: 10}
	for range 24 * 60 {
		p.Step(&s, 60)
	}
	near(t, "resting line", p.Truth().CirculationTapsC, 20, 0.1)
	got := p.Tap(Draw{Litres: 5, TapC: 40, UsefulC: 40, FlowLMin: k.LMin, LetRun: true}, 10)
	near(t, "wait", got.WaitS, k.Seconds, 0.01)
	near(t, "cold litres", got.ColdLitres, k.Litres, 1e-3)
	near(t, "then", got.MeanC, 40, 1e-6)
	near(t, "heat of the cold litres", got.ColdJ, k.Litres*WaterJKgK*10, 500)
	near(t, "taken", p.Book().DrawnJ, got.DeliveredJ+got.ColdJ, 1e-3)

	// At once again: nobody waits. And who does not let it run gets it cold.
	again := p.Tap(Draw{Litres: 5, TapC: 40, UsefulC: 40, FlowLMin: k.LMin, LetRun: true}, 10)
	near(t, "second wait", again.WaitS, 0, 0)
	for range 24 * 60 {
		p.Step(&s, 60)
	}
	cold := p.Tap(Draw{Litres: 2, TapC: 40, UsefulC: 40, FlowLMin: k.LMin}, 10)
	near(t, "without waiting", cold.MeanC, 20, 0.1)
	if cold.AtTemperatureJ != 0 || cold.ColdLitres != 0 {
		t.Errorf("%+v", cold)
	}
}

// A cold tank keeps nobody waiting for longer than the line's content.
func TestNobodyWaitsForEver(t *testing.T) {
	p := build(t, endless(15, Circulation{Supply: Pipe{VolumeL: 3, UAWK: 3}}))
	got := p.Tap(Draw{Litres: 5, TapC: 40, UsefulC: 40, FlowLMin: 6, LetRun: true}, 10)
	near(t, "cold litres", got.ColdLitres, 3, 1e-6)
	near(t, "then", got.MeanC, 15, 1e-6)
}

// Source: Newton's law of cooling, in the file; exact at any step.
func TestRestingLineCools(t *testing.T) {
	k := readPipeHeat(t).Cooling.Case
	const litres = 3.0
	uaWK := litres * WaterJKgK / (k.Tau * 60)
	for _, stepS := range []float64{1, 7.5, 60} {
		p := build(t, endless(k.StartC, Circulation{Supply: Pipe{VolumeL: litres, UAWK: uaWK}}))
		s := Surroundings{AirC: -10, RoomC: k.RoomC, ColdC: 10}
		for range int(k.Minutes * 60 / stepS) {
			p.Step(&s, stepS)
		}
		near(t, "resting line", p.Truth().CirculationTapsC, k.EndC, 1e-4)
	}
}

// The pump brings the wait to nothing, costs heat, and stirs the tank from its
// return upwards but not below.
func TestCirculationMixesTheTank(t *testing.T) {
	night := func(pump bool, returnHeight float64) *Plant {
		c := Typical()
		c.Circulation = TypicalCirculation()
		c.Circulation.ReturnHeight = returnHeight
		p := build(t, c)
		for k := range p.tank.tempC {
			p.tank.tempC[k] = 15 + 4*float64(k)
		}
		p.startJ = p.storedJ()
		p.SetCirculation(pump)
		s := Surroundings{AirC: 10, RoomC: 20, ColdC: 10}
		for range 8 * 60 {
			p.Step(&s, 60)
		}
		b := p.Book()
		near(t, "imbalance", b.ImbalanceJ(), 0, 1e-9*p.storedJ())
		return p
	}
	still, high, low := night(false, 0.6), night(true, 0.6), night(true, 0)
	spread := func(p *Plant) float64 { return p.TankC(0.95) - p.TankC(0.65) }
	if spread(still) < 10 || spread(high) > 1 {
		t.Errorf("layers above the return: %.1f K at rest, %.1f K with the pump", spread(still), spread(high))
	}
	near(t, "bottom with a high return", high.TankC(0.1), still.TankC(0.1), 1)
	if low.TankC(0.95)-low.TankC(0.05) > 1 {
		t.Error("a return at the bottom left layers")
	}
	if lost := high.Book().CirculationLossJ / 3.6e6; lost < 0.5 || lost > 2.5 {
		t.Errorf("%.2f kWh lost on the ring in eight hours", lost)
	}
	draw := Draw{Litres: 5, TapC: 40, UsefulC: 38, FlowLMin: 6, LetRun: true}
	if got := high.Tap(draw, 10); got.WaitS != 0 {
		t.Errorf("%g s of waiting with the pump on", got.WaitS)
	}
	if got := still.Tap(draw, 10); got.WaitS < 29 {
		t.Errorf("%g s of waiting after a night of rest", got.WaitS)
	}
}

func TestCirculationPumpAndItsFaults(t *testing.T) {
	p := build(t, endless(60, TypicalCirculation()))
	s := Surroundings{AirC: 10, RoomC: 20, ColdC: 10}
	for _, k := range []struct {
		on, welded, dead, turns bool
	}{{}, {on: true, turns: true}, {welded: true, turns: true}, {on: true, dead: true}, {welded: true, dead: true}} {
		p.SetCirculation(k.on)
		p.Damage = Damage{CirculationWelded: k.welded, CirculationDead: k.dead}
		p.Step(&s, 10)
		if p.Truth().CirculationTurns != k.turns {
			t.Errorf("%+v: turns %v", k, !k.turns)
		}
	}
	near(t, "electricity", p.Book().CirculationPumpJ, 2*10*8, 1e-9)
	near(t, "hours", p.Tally().CirculationS, 20, 0)
	c := endless(60, TypicalCirculation())
	c.Circulation.PumpFlowLMin = 0
	p = build(t, c)
	p.SetCirculation(true)
	p.Step(&s, 10)
	if p.Truth().CirculationTurns {
		t.Error("a line without a pump circulates")
	}
}

// A ring on a store runs through the upper part of the drinking-water coil.
func TestCirculationOnAStore(t *testing.T) {
	c := TypicalStore()
	c.StartC, c.TankUAWK, c.Circulation = 60, 0, TypicalCirculation()
	p := build(t, c)
	p.SetCirculation(true)
	s := Surroundings{AirC: 10, RoomC: 20, ColdC: 10}
	for range 600 {
		p.Step(&s, 10)
	}
	tr, b := p.Truth(), p.Book()
	if tr.CirculationSupplyC < 55 || tr.CirculationReturnC > tr.CirculationSupplyC-0.5 {
		t.Errorf("%+v", tr)
	}
	near(t, "imbalance", b.ImbalanceJ(), 0, 1e-9*p.storedJ())
	if b.CirculationLossJ < 1e5 || p.TankC(1) > 60-b.CirculationLossJ/3/p.storedJ()*60 {
		t.Errorf("%g J lost on the ring, store's top at %g", b.CirculationLossJ, p.TankC(1))
	}
}
