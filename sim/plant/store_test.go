package plant

import (
	"math"
	"strconv"
	"testing"

	"sunstoker/physics"
)

// standing is a store without losses, loop and heater, at one temperature.
func standing(litres, startC float64) Config {
	c := TypicalStore()
	c.TankLitres, c.TankUAWK, c.StartC = litres, 0, startC
	c.TemperingC, c.ThermostatC, c.CutOutC = 0, 0, 0
	return c
}

// all asks for water as hot as it comes.
func all(litres, flowLMin float64) Draw { return Draw{Litres: litres, TapC: 99, FlowLMin: flowLMin} }

// Source: effectiveness of an exchanger with one side at an even temperature
// (Incropera / Kays and London forms), in the table.
func TestTapCoilEffectiveness(t *testing.T) {
	tried := 0
	for _, r := range readRows(t, "effectiveness_ntu.csv") {
		if r["arrangement"] != "one_side_constant" {
			continue
		}
		tried++
		c := standing(1e6, 70) // too large to cool
		rateWK := c.Store.RatedLMin / 60 * WaterJKgK
		c.Store.TapCoilUAWK = r.number(t, "NTU") * rateWK
		got := build(t, c).Tap(all(20, c.Store.RatedLMin), 10)
		near(t, "effectiveness", (got.MeanC-10)/60, r.number(t, "effectiveness"), 1e-4)
		near(t, "heat", got.DeliveredJ, 20*WaterJKgK*(got.MeanC-10), 1)
	}
	if tried < 2 {
		t.Fatalf("only %d cases", tried)
	}
}

// In a layered store the water takes 1 - exp(-NTU) of each layer's excess in
// turn, NTU being the layer's part of the coil.
func TestTapCoilPassesLayersInTurn(t *testing.T) {
	c := standing(1e6, 50)
	c.Store.TapCoilBottom, c.Store.TapCoilTop = 0, 1
	p := build(t, c)
	wantC, part := 12.0, c.Store.TapCoilUAWK/float64(c.Layers)
	for k := 1; k <= c.Layers; k++ {
		p.tank.tempC[k] = 20 + 4*float64(k)
		effectiveness := physics.CoilEffectiveness(part, c.Store.RatedLMin/60*WaterJKgK)
		wantC += effectiveness * (p.tank.tempC[k] - wantC)
	}
	near(t, "outlet", p.Tap(all(1, c.Store.RatedLMin), 12).MeanC, wantC, 0.001)
}

// Exact solution of a stirred store cooled through a coil of constant
// effectiveness e: T = Tc + (T0 - Tc) exp(-e V cw/C).
func TestBigDrawCoolsTheStore(t *testing.T) {
	c := standing(400, 65)
	c.Layers = 1
	p := build(t, c)
	const coldC, flowLMin, litres = 10.0, 15.0, 250.0
	rateWK := flowLMin / 60 * WaterJKgK
	effectiveness := physics.CoilEffectiveness(c.Store.transferWK(flowLMin, 0), rateWK)
	left := math.Exp(-effectiveness * litres * WaterJKgK / (400 * c.litreJK()))
	got := p.Tap(all(litres, flowLMin), coldC)
	near(t, "store", p.TankC(0.5), coldC+55*left, 0.05)
	near(t, "heat of the draw", got.DeliveredJ, 400*c.litreJK()*55*(1-left), 0.002*got.DeliveredJ)
	near(t, "imbalance", p.Book().ImbalanceJ(), 0, 1e-9*got.DeliveredJ*10)
}

// The inside coefficient grows with flow^0.8 (Dittus and Boelter), the rest of
// the resistance stays; so a big draw comes cooler, and scale makes it worse.
func TestBigDrawComesCooler(t *testing.T) {
	c := standing(1e6, 60)
	last := 60.0
	for _, flowLMin := range []float64{0.5, 3, 6, 12, 24, 60} {
		resistance := 0.6 + 0.4*math.Pow(12/flowLMin, 0.8)
		want := 10 + 50*physics.CoilEffectiveness(c.Store.TapCoilUAWK/resistance, flowLMin/60*WaterJKgK)
		p := build(t, c)
		got := p.Tap(all(flowLMin/6, flowLMin), 10).MeanC
		near(t, "outlet", got, want, 0.001)
		if got > last {
			t.Errorf("%g l/min come at %g, hotter than a smaller draw at %g", flowLMin, got, last)
		}
		last = got
		p.Damage.TapCoilScaled = 0.6
		if scaledC := p.Tap(all(flowLMin/6, flowLMin), 10).MeanC; scaledC > got {
			t.Errorf("%g l/min come hotter through scale: %g over %g", flowLMin, scaledC, got)
		}
	}
	s := Store{TapCoilUAWK: 1000, RatedLMin: 10, InsideShare: 1}
	near(t, "transfer at twice the flow", s.transferWK(20, 0), 1741.1, 0.1)
}

// The tempering valve sits behind the coil: a tap that wants less than comes
// gets a mixture, with only as much water through the coil as that needs.
func TestTemperingAfterTheCoil(t *testing.T) {
	c := standing(1e6, 80)
	c.TemperingC = 50
	for _, flowLMin := range []float64{2, 6, 12, 20} {
		p := build(t, c)
		got := p.Tap(Draw{Litres: 10, TapC: 45, UsefulC: 45, FlowLMin: flowLMin}, 10)
		near(t, "mixture", got.MeanC, 45, 0.01)
		share := got.HotLitres / got.Litres
		effectiveness := physics.CoilEffectiveness(c.Store.transferWK(share*flowLMin, 0), share*flowLMin/60*WaterJKgK)
		near(t, "heat through the coil", share*effectiveness*70, 35, 0.01)
		if got.AtTemperatureJ > got.AskedJ*(1+1e-6) {
			t.Errorf("%g J at temperature of %g J asked", got.AtTemperatureJ, got.AskedJ)
		}
	}
	p := build(t, c)
	near(t, "the valve's limit", p.Tap(all(5, 4), 10).MeanC, 50, 0.01)
	near(t, "hottest at a tap", p.Truth().AtTapC, 50, 0)
	p.Damage.TemperingStuckCold = true
	near(t, "stuck cold", p.Tap(all(5, 4), 10).MeanC, temperingStuckColdC, 0.01)
	p.Damage.TemperingStuckHot = true
	if got := p.Tap(all(5, 1), 10).MeanC; got < 79 {
		t.Errorf("stuck hot: %g", got)
	}
}

// Source: exact outlet of N stirred tanks in series, in the file. The direct
// loop passes the layers that way.
func TestDirectFlowIsTanksInSeries(t *testing.T) {
	var f struct {
		Series struct {
			Cases []struct {
				N         int     `json:"N"`
				Theta     float64 `json:"theta"`
				StartC    float64 `json:"T0"`
				EnteringC float64 `json:"Tc"`
				OutletC   float64 `json:"outlet_degC"`
			} `json:"cases"`
		} `json:"tanks_in_series"`
	}
	readJSON(t, "tank_stratified.json", &f)
	if len(f.Series.Cases) < 2 {
		t.Fatal("no cases")
	}
	for _, k := range f.Series.Cases {
		c := standing(300, k.StartC)
		c.Layers, c.CoilBottom, c.CoilTop = k.N, 0, 1
		tk, way := newTank(c), newCoil(c)
		const steps, stepS = 20000, 1
		rateWK := k.Theta * float64(k.N) * tk.layerJK / steps / stepS
		outC := 0.0
		for range steps {
			way.prepare(&tk, rateWK, stepS)
			outC, _ = way.settle(&tk, true, k.EnteringC, rateWK, stepS)
		}
		near(t, "outlet of "+strconv.Itoa(k.N)+" tanks", outC, k.OutletC, 0.005)
	}
}

// The loop heats the store without a coil, and its book closes at any step.
func TestStoreTakesTheSunDirectly(t *testing.T) {
	for _, byLayers := range []bool{false, true} {
		var atEnd []float64
		for _, stepS := range []float64{1, 10, 60} {
			c := TypicalStore()
			c.Store.FeedByLayers = byLayers
			p := build(t, c)
			p.SetPump(1)
			s := Surroundings{AbsorbableWM2: 800, AirC: 20, RoomC: 20, ColdC: 10}
			for range int(5 * 3600 / stepS) {
				p.Step(&s, stepS)
			}
			b := p.Book()
			near(t, "imbalance", b.ImbalanceJ(), 0, 1e-9*b.SunJ)
			if share := b.LoopToTankJ / b.SunJ; share < 0.5 || share > 0.95 {
				t.Errorf("%.2f of the absorbed heat reached the store", share)
			}
			if got := p.Truth(); math.Abs(got.CoilReturnC-p.TankC(0.02)) > 1 {
				t.Errorf("the loop leaves at %g, the store's bottom is at %g", got.CoilReturnC, p.TankC(0.02))
			}
			atEnd = append(atEnd, b.LoopToTankJ)
		}
		near(t, "heat by the longest step", atEnd[2], atEnd[0], 0.01*atEnd[0])
	}
}

// Fluid that enters by layers spares the top; fed at one height it stirs all
// above.
func TestFeedByLayersKeepsTheTopHot(t *testing.T) {
	topAfter := func(byLayers bool) float64 {
		c := TypicalStore()
		c.TankUAWK, c.CoilTop, c.Store.FeedByLayers = 0, 0.98, byLayers
		p := build(t, c)
		for k := range p.tank.tempC {
			p.tank.tempC[k] = 20 + 4*float64(k)
		}
		p.startJ = p.storedJ()
		p.SetPump(1)
		s := Surroundings{AbsorbableWM2: 350, AirC: 15, RoomC: 20, ColdC: 10}
		for range 180 {
			p.Step(&s, 10)
		}
		near(t, "imbalance", p.Book().ImbalanceJ(), 0, 1)
		return p.TankC(1)
	}
	if kept, lost := topAfter(true), topAfter(false); kept < 67 || lost > kept-3 {
		t.Errorf("top after half an hour of lukewarm loop: by layers %.1f, at the top %.1f, from 68", kept, lost)
	}
}

func TestStoreLevelFallsAndBaresTheHeater(t *testing.T) {
	c := TypicalStore()
	p := build(t, c)
	s := Surroundings{AirC: 15, RoomC: 20, ColdC: 10}
	for range 10 * 1440 {
		p.Step(&s, 60)
	}
	near(t, "level after ten days", p.Truth().StoreLevel, 1-10*0.02/500, 1e-9)
	p.Damage.StoreLeakLitresPerDay = 500
	for range 600 {
		p.Step(&s, 60)
	}
	p.SetHeater(true)
	seenBare := false
	for range 10 {
		p.Step(&s, 60)
		seenBare = seenBare || p.Truth().Hazards.BareElement
	}
	if tr := p.Truth(); !seenBare || tr.Heating || tr.StoreLevel > c.HeaterHeight {
		t.Errorf("bare seen %v, %+v", seenBare, tr)
	}
	near(t, "current without water", p.Tally().BareS, bareBurnsS, 0)
	p.Damage = Damage{}
	p.TopUpStore()
	p.Step(&s, 60)
	if tr := p.Truth(); !tr.Heating || tr.StoreLevel < 0.999 {
		t.Errorf("filled up again: %+v", tr)
	}
	near(t, "imbalance", p.Book().ImbalanceJ(), 0, 1e-9*p.storedJ())
}

// An open store boils at the boiling point of its pressure, and what boils off
// is missing from its level by the heat of evaporation.
func TestOpenStoreBoils(t *testing.T) {
	c := TypicalStore()
	c.Fluid = physics.Water()
	c.StartC, c.ThermostatC, c.CutOutC, c.Store.LossLitresPerDay = 95, 0, 0, 0
	c.HeaterW, c.HeaterHeight = 9000, 0
	p := build(t, c)
	p.SetHeater(true)
	s := Surroundings{AirC: 20, RoomC: 20, ColdC: 10}
	for range 600 {
		p.Step(&s, 60)
	}
	tr, b := p.Truth(), p.Book()
	near(t, "boiling", tr.HottestC, 100, 0.1)
	if !tr.Hazards.TankBoiling || b.ReliefJ < 1e7 {
		t.Errorf("%+v, %+v", tr.Hazards, b)
	}
	const publishedJKg = 2.2565e6 // evaporation at 100 degC, IAPWS-IF97 (from memory)
	boiledL := b.ReliefJ / publishedJKg
	near(t, "boiled off", (1-tr.StoreLevel)*c.TankLitres, boiledL, 0.001*boiledL)
	near(t, "imbalance", b.ImbalanceJ(), 0, 1e-9*b.HeaterJ)
}

// In a store of a house's size too, which cools as it is drawn, the mixture
// comes as wanted until the store cannot give it.
func TestMixtureHoldsWhileTheStoreCools(t *testing.T) {
	p := build(t, standing(500, 70))
	for i := range 30 {
		got := p.Tap(Draw{Litres: 5, TapC: 42, UsefulC: 42, FlowLMin: 10}, 10)
		near(t, "litres "+strconv.Itoa(5*i), got.MeanC, 42, 1e-3)
	}
	for range 60 {
		p.Tap(Draw{Litres: 10, TapC: 42, UsefulC: 42, FlowLMin: 10}, 10)
	}
	if got := p.Tap(Draw{Litres: 5, TapC: 42, UsefulC: 42, FlowLMin: 10}, 10); got.MeanC > 35 || got.HotLitres < got.Litres {
		t.Errorf("after 750 litres: %+v", got)
	}
}

// TestHotLitresOfAStore: what physics.HotLitresThroughCoil tells of an even store at
// the coil's effectiveness is what comes while it is drawn empty, but for what the
// layers that form meanwhile give beyond it.
func TestHotLitresOfAStore(t *testing.T) {
	const tapC, coldC = 42, 12
	for _, startC := range []float64{50, 60, 75} {
		c := standing(500, startC)
		p := build(t, c)
		came := 0.0
		for {
			got := p.Tap(Draw{Litres: 1, TapC: tapC, UsefulC: tapC, FlowLMin: c.Store.RatedLMin}, coldC)
			if got.MeanC < tapC-0.5 {
				break
			}
			came++
		}
		effectiveness := physics.CoilEffectiveness(c.Store.TapCoilUAWK, c.Store.RatedLMin/60*WaterJKgK)
		told := physics.HotLitresThroughCoil([]float64{startC}, []float64{500}, tapC, coldC, effectiveness)
		if told > came || told < 0.6*came {
			t.Errorf("a store at %g °C: told %.0f l, %.0f came", startC, told, came)
		}
		if old := physics.HotLitres([]float64{startC}, []float64{500}, tapC, coldC); old < 1.5*came {
			t.Errorf("a tank of drinking water at %g °C is to give more than the store's %.0f l, not %.0f", startC, came, old)
		}
	}
}
