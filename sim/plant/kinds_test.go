package plant

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sunstoker/physics"

	"pgregory.net/rapid"
)

// kinds are plants of every kind. A new kind is one more row.
func kinds() map[string]Config {
	change := func(c Config, by func(*Config)) Config {
		by(&c)
		return c
	}
	natural := func(c *Config) {
		c.CheckValve, c.CollectorAboveTankM, c.LoopHeadPa = false, -1.8, 3000
	}
	ring := func(c *Config) { c.Circulation = TypicalCirculation() }
	return map[string]Config{
		"pumped":                  Typical(),
		"natural circulation":     TypicalNatural(),
		"natural, by bores":       TypicalNatural(),
		"natural, light valve":    change(TypicalNatural(), func(c *Config) { c.CheckValve, c.CheckOpensPa = true, 20 }),
		"small vessel":            change(Typical(), func(c *Config) { c.Sealing.VesselL = 2 }),
		"no vessel, no relief":    change(Typical(), func(c *Config) { c.Sealing.NoVessel, c.Sealing.NoRelief = true, true }),
		"loop not sealed":         change(Typical(), func(c *Config) { c.Sealing = Sealing{} }),
		"water loop":              change(Typical(), func(c *Config) { c.Fluid = physics.Water() }),
		"stirred tank":            change(Typical(), func(c *Config) { c.Layers = 1 }),
		"inlet that stirs":        change(Typical(), func(c *Config) { c.InletMixing = 0.3 }),
		"hot-water line":          change(Typical(), func(c *Config) { c.Circulation.Supply = Pipe{VolumeL: 2, UAWK: 3} }),
		"circulation":             change(Typical(), ring),
		"circulation, low return": change(Typical(), func(c *Config) { ring(c); c.Circulation.ReturnHeight = 0 }),
		"circulation, top return": change(Typical(), func(c *Config) { ring(c); c.Circulation.ReturnHeight = 1; c.InletMixing = 1 }),
		"stirred, circulation":    change(Typical(), func(c *Config) { ring(c); c.Layers = 1 }),
		"store":                   TypicalStore(),
		"store of one layer":      change(TypicalStore(), func(c *Config) { c.Layers = 1 }),
		"store of water, by layers": change(TypicalStore(), func(c *Config) {
			c.Fluid, c.Store.FeedByLayers = physics.Water(), true
			c.Store.LossLitresPerDay = 100
		}),
		"store, natural circulation": change(TypicalStore(), natural),
		"store, natural, by layers":  change(TypicalStore(), func(c *Config) { natural(c); c.Store.FeedByLayers = true }),
		"store, circulation":         change(TypicalStore(), ring),
		"heat dump":                  change(Typical(), func(c *Config) { c.HeatDumpWK = 40 }),
		"natural, heat dump":         change(TypicalNatural(), func(c *Config) { c.HeatDumpWK = 40 }),
	}
}

func names() []string {
	var all []string
	for name := range kinds() {
		all = append(all, name)
	}
	slices.Sort(all)
	return all
}

// Any kind of plant under anything, alone or behind another one in series: the
// book closes, draws give what they take and never more than asked, nothing
// becomes NaN or leaves the bounds of nature, and the same again is the same to
// the last bit.
func TestEveryKindUnderAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names()).Draw(t, "kind")
		first := rapid.SampledFrom(append(names(), "", "", "")).Draw(t, "before it")
		a, b := inSeries(t, first, name), inSeries(t, first, name)
		drawnJ := 0.0
		for range 40 {
			e := anything(t)
			for range 8 {
				got := e.do(a)
				if other := e.do(b); got != other {
					t.Fatalf("the same draw gave %+v and %+v", got, other)
				}
				drawnJ += got.DeliveredJ + got.ColdJ
				checkDrawn(t, a[len(a)-1], e, got)
			}
			for _, p := range a {
				checkBounds(t, p)
			}
		}
		sumJ := 0.0
		for i, p := range a {
			book := p.Book()
			sumJ += book.DrawnJ
			turned := math.Abs(book.SunJ) + book.HeaterJ + math.Abs(book.DrawnJ) + p.storedJ()
			if !(math.Abs(book.ImbalanceJ()) < 1e-9*turned) {
				t.Fatalf("imbalance %g J of %g J: %+v", book.ImbalanceJ(), turned, book)
			}
			if !(math.Abs(book.TankImbalanceJ()) < 1e-9*turned) {
				t.Fatalf("imbalance of the tank %g J of %g J: %+v", book.TankImbalanceJ(), turned, book)
			}
			if other := b[i]; book != other.Book() || p.Truth() != other.Truth() || p.Tally() != other.Tally() {
				t.Fatal("two runs of one history differ")
			}
		}
		if !(math.Abs(sumJ-drawnJ) < 1e-9*(math.Abs(drawnJ)+1e8)) {
			t.Fatalf("%g J drawn by the books, %g J by the draws", sumJ, drawnJ)
		}
	})
}

// inSeries are one or two plants in a row.
func inSeries(t *rapid.T, before, name string) (chain []*Plant) {
	for _, name := range []string{before, name} {
		if name == "" {
			continue
		}
		p, err := New(kinds()[name])
		if err != nil {
			t.Fatal(err)
		}
		chain = append(chain, p)
	}
	return chain
}

// event is what happens for a while.
type event struct {
	around              Surroundings
	pump, stepS         float64
	heater, circulation bool
	dump                bool
	damage              Damage
	draw                Draw
}

func anything(t *rapid.T) event {
	share := func(name string) float64 {
		return rapid.SampledFrom([]float64{0, 0, 0, 0.5, 1}).Draw(t, name)
	}
	seldom := func(name string) bool { return rapid.IntRange(0, 5).Draw(t, name) == 0 }
	return event{
		around: Surroundings{
			AbsorbableWM2: rapid.Float64Range(0, 1300).Draw(t, "sun"),
			AirC:          rapid.Float64Range(-35, 45).Draw(t, "air"),
			RoomC:         rapid.Float64Range(2, 35).Draw(t, "room"),
			ColdC:         rapid.Float64Range(2, 30).Draw(t, "cold"),
		},
		pump:        rapid.SampledFrom([]float64{0, 0.01, 0.5, 1}).Draw(t, "pump"),
		stepS:       rapid.SampledFrom([]float64{0.1, 1, 10, 60}).Draw(t, "seconds"),
		heater:      rapid.Bool().Draw(t, "heater"),
		circulation: rapid.Bool().Draw(t, "circulation"),
		dump:        rapid.Bool().Draw(t, "dump"),
		damage: Damage{
			PumpWelded: seldom("welded"), FlowLost: share("flow"), CheckValveOpen: seldom("valve open"), CheckValveShut: seldom("valve shut"),
			GlycolLost: share("glycol"), LoopLeakLPerDay: 1000 * share("loop leak"), FluidGone: seldom("fluid"),
			CushionLost: seldom("cushion"), LoopReliefShut: seldom("loop relief"), LoopReliefWeepsLPerDay: 1000 * share("weeps"),
			Snow: share("snow"), ThermostatSetC: 60 * share("set"), CutOutTripped: seldom("trip"),
			Outputs:          Outputs{PowerCut: seldom("cut"), PowerDips: seldom("dips"), Inverted: seldom("inverted"), Fought: seldom("fought"), PumpChatters: seldom("chatter"), Held: seldom("held")},
			ThermostatWelded: seldom("thermostat"), CutOutBridged: seldom("cut-out"), ReliefValveBlocked: seldom("relief"),
			TemperingStuckHot: seldom("hot"), TemperingStuckCold: seldom("cold valve"),
			CirculationWelded: seldom("always"), CirculationDead: seldom("never"),
			HeatDumpStuck: seldom("dump stuck"), HeatDumpOpen: seldom("dump open"),
			TapCoilScaled: share("scale"), InletStopped: seldom("inlet"), ElementBare: seldom("bare"),
			HeaterScaled: share("crust"), StoreLeakLitresPerDay: 1000 * share("leak"),
		},
		draw: Draw{
			Litres:   rapid.SampledFrom([]float64{0, 0.1, 5, 30}).Draw(t, "draw"),
			TapC:     rapid.SampledFrom([]float64{38, 45, 90}).Draw(t, "tap"),
			UsefulC:  rapid.SampledFrom([]float64{0, 36, 45}).Draw(t, "useful"),
			FlowLMin: rapid.SampledFrom([]float64{0, 0.01, 4, 40}).Draw(t, "flow"),
			LetRun:   rapid.Bool().Draw(t, "let run"),
		},
	}
}

// do lets it happen for a step.
func (e event) do(chain []*Plant) Drawn {
	for _, p := range chain {
		p.SetPump(e.pump)
		p.SetHeater(e.heater)
		p.SetCirculation(e.circulation)
		p.SetHeatDump(e.dump)
		p.Damage = e.damage
	}
	var got Drawn
	if len(chain) == 1 {
		got = chain[0].Tap(e.draw, e.around.ColdC)
	} else {
		got = TapSeries(chain, e.draw, e.around.ColdC)
	}
	for _, p := range chain {
		p.Step(&e.around, e.stepS)
	}
	return got
}

func checkDrawn(t *rapid.T, last *Plant, e event, got Drawn) {
	if got.AtTemperatureJ > got.AskedJ*(1+1e-5)+1 {
		t.Fatalf("at temperature %g J of %g J asked", got.AtTemperatureJ, got.AskedJ)
	}
	most := math.Max(math.Min(e.draw.TapC, last.temperLimitC()), e.around.ColdC)
	if got.Litres > 0 && got.MeanC > most+0.001 {
		t.Fatalf("%g degC at the tap, the valve and the wish allow %g", got.MeanC, most)
	}
	if got.HotLitres > got.Litres*(1+1e-9) || got.ColdLitres > last.config.Circulation.Supply.VolumeL*(1+1e-9) || got.WaitS < 0 {
		t.Fatalf("%+v", got)
	}
}

func checkBounds(t *rapid.T, p *Plant) {
	all := p.LayersC(nil)
	if p.line.fitted {
		all = append(all, p.line.supply.column.tempC...)
	}
	if p.line.ring {
		all = append(all, p.line.returnPipe.column.tempC...)
	}
	for _, temp := range all {
		if !(temp > 0 && temp < 160) {
			t.Fatalf("temperature %g", temp)
		}
	}
	tr := p.Truth()
	for _, temp := range []float64{tr.CollectorC, tr.CollectorMinC, tr.CoilSupplyC, tr.CoilReturnC, tr.HotPipeC, tr.ColdPipeC} {
		if !(temp > -65 && temp < 330) {
			t.Fatalf("temperature %g: %+v", temp, tr)
		}
	}
	if !(tr.LoopPressurePa > 0.5e5 && tr.LoopPressurePa <= mostLoopPa && tr.SteamShare >= 0 && tr.SteamShare <= 1 && tr.FluidLostL >= 0 && tr.LoopAirL >= 0 && tr.LoopAirL < 1000) {
		t.Fatalf("loop: %+v", tr)
	}
	if !(tr.StoreLevel >= 0 && tr.StoreLevel <= 1) || math.IsNaN(tr.AtTapC+tr.DrawC+tr.FlowKgS) {
		t.Fatalf("%+v", tr)
	}
}

func TestNoKindAllocatesPerStep(t *testing.T) {
	for name, c := range kinds() {
		p := build(t, c)
		p.SetCirculation(true)
		i := 0
		if got := testing.AllocsPerRun(5000, func() { benchStep(p, i*7); i++ }); got != 0 {
			t.Errorf("%s: %g allocations a step", name, got)
		}
	}
}

func TestConfigErrorsOfTheTankSide(t *testing.T) {
	for want, change := range map[string]func(*Config){
		"drinking-water coil's heat transfer": func(c *Config) { c.Store.TapCoilUAWK = -1 },
		"has none: give zero":                 func(c *Config) { *c = TypicalStore(); c.ReliefC = 95 },
		"rated flow":                          func(c *Config) { *c = TypicalStore(); c.Store.RatedLMin = 0 },
		"above its bottom":                    func(c *Config) { *c = TypicalStore(); c.Store.TapCoilTop = 0.01 },
		"store's pressure":                    func(c *Config) { *c = TypicalStore(); c.Store.PressurePaAbs = 0 },
		"inlet's mixing":                      func(c *Config) { c.InletMixing = 1.1 },
		"without a hot-water line":            func(c *Config) { c.Circulation.PumpFlowLMin = 3 },
		"return volume":                       func(c *Config) { c.Circulation = Circulation{Supply: Pipe{VolumeL: 2}, PumpFlowLMin: 3} },
		"line's loss":                         func(c *Config) { c.Circulation = Circulation{Supply: Pipe{VolumeL: 2, UAWK: math.NaN()}} },
	} {
		c := Typical()
		change(&c)
		if _, err := New(c); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("want an error about %q, got %v", want, err)
		}
	}
}
