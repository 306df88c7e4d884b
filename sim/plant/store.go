package plant

import (
	"math"

	"sunstoker/physics"
)

// Store turns the tank into a store of loop fluid: the loop runs through it
// without a coil, and a coil of drinking water takes the heat to the taps. The
// zero Store is a tank of drinking water.
//
// With a store, Config.CoilTop is where the loop's fluid enters, CoilBottom
// where it leaves, and CoilUAWK has no meaning. The cut-out and the thermostat
// stay; a temperature relief valve (ReliefC) belongs to tanks of drinking water
// and must be zero.
type Store struct {
	// TapCoilUAWK is the heat transfer of the whole drinking-water coil in W/K
	// at a flow of RatedLMin litres a minute. Zero: no store.
	TapCoilUAWK, RatedLMin float64
	// InsideShare is the part of the resistance to heat that lies between the
	// drinking water and the coil's wall at RatedLMin, 0 to 1. It shrinks as
	// the flow grows; see tapCoil.
	InsideShare float64
	// TapCoilBottom and TapCoilTop bound the drinking-water coil; water enters
	// it below.
	TapCoilBottom, TapCoilTop float64
	// FeedByLayers lets the loop's fluid out where the store is as warm as it
	// (a charging lance), instead of at CoilTop.
	FeedByLayers bool
	// PressurePaAbs is the pressure in the store in Pa absolute; an open store
	// has that of the air.
	PressurePaAbs float64
	// LossLitresPerDay is what evaporates or seeps in litres a day.
	LossLitresPerDay float64
}

func (s Store) fitted() bool { return s.TapCoilUAWK > 0 }

// TypicalStore is Typical with an open store of 500 litres of loop fluid, which
// stands the frost in the collector, and a drinking-water coil. Its figures are of the usual size (common
// practice, no source), not those of any product.
func TypicalStore() Config {
	c := Typical()
	c.LoopPressurePaAbs, c.Sealing = 1.5e5, Sealing{}
	c.TankLitres, c.TankUAWK = 500, 3
	c.CoilUAWK, c.CoilBottom, c.CoilTop = 0, 0.02, 0.7
	c.ReliefC = 0
	c.Store = Store{
		TapCoilUAWK: 1500, RatedLMin: 12, InsideShare: 0.4,
		TapCoilBottom: 0.02, TapCoilTop: 0.98,
		PressurePaAbs: physics.StandardPressurePa, LossLitresPerDay: 0.02,
	}
	return c
}

func (c Config) storeRanges() []valueRange {
	s := c.Store
	if !s.fitted() {
		return []valueRange{{"the drinking-water coil's heat transfer in W/K", s.TapCoilUAWK, 0, 0}}
	}
	return []valueRange{
		{"the drinking-water coil's heat transfer in W/K", s.TapCoilUAWK, 0, 1e6},
		{"the drinking-water coil's rated flow in l/min", s.RatedLMin, 0.1, 1000},
		{"the inside share of the drinking-water coil's resistance", s.InsideShare, 0, 1},
		{"the drinking-water coil's bottom", s.TapCoilBottom, 0, 0.99},
		{"the drinking-water coil's top (above its bottom)", s.TapCoilTop, s.TapCoilBottom + 0.01, 1},
		{"the store's pressure in Pa absolute", s.PressurePaAbs, 0.5e5, 4e5},
		{"the store's loss in litres a day", s.LossLitresPerDay, 0, 1000},
		{"the relief valve of a store of loop fluid (it has none: give zero) in degC", c.ReliefC, 0, 0},
	}
}

// litreJK is the heat capacity of a litre in the tank, for loop fluid at the
// middle of its working range.
func (c Config) litreJK() float64 {
	if !c.Store.fitted() {
		return WaterJKgK
	}
	const at = 50 // degC
	return c.Fluid.DensityKgM3(at) / 1000 * c.Fluid.SpecificHeatJKgK(at)
}

// tankBoilsC is where the tank's content boils.
func (c Config) tankBoilsC() float64 {
	if c.Store.fitted() {
		return c.Fluid.BoilingPointC(c.Store.PressurePaAbs)
	}
	return tankBoilingC
}

// tapCoil is the drinking-water coil of a store. Water runs up through it and
// takes heat from each layer by 1 - exp(-UA/(m cp)), as in type coil. The
// transfer depends on the flow by its inside resistance,
//
//	UA0/UA = (1 - s) + s (flow0/flow)^0.8
//
// s being Store.InsideShare: the coefficient in a turbulent pipe grows with
// Re^0.8 (Dittus and Boelter, as in Incropera). Outside and wall are constant.
// In slow flow, below about a Reynolds number of 10000, the formula is stretched;
// the water then leaves nearly as hot as the store anyway.
type tapCoil struct {
	coil
	store Store
}

func newTapCoil(c Config) tapCoil {
	n := float64(c.Layers)
	return tapCoil{store: c.Store, coil: newSpan(c.Layers, c.Store.TapCoilBottom*n, c.Store.TapCoilTop*n)}
}

// transferWK is UA at a flow; scaled is the share of it lost to scale.
func (s Store) transferWK(flowLMin, scaled float64) float64 {
	resistance := 1 - s.InsideShare + s.InsideShare*math.Pow(s.RatedLMin/flowLMin, 0.8)
	return s.TapCoilUAWK / resistance * (1 - clamp(scaled, 0, 1))
}

// leastFlowLMin keeps the coil's formulas finite for a tap that drips.
const leastFlowLMin = 1e-3

// prepareFlow readies the coil for litres at a flow and returns the capacity
// rate in W/K and the time in s.
func (c *tapCoil) prepareFlow(t *tank, litres, flowLMin, scaled float64) (rateWK, seconds float64) {
	flowLMin = math.Max(flowLMin, leastFlowLMin)
	rateWK, seconds = flowLMin/60*WaterJKgK, litres/flowLMin*60
	c.setTransfer(c.store.transferWK(flowLMin, scaled))
	c.prepare(t, rateWK, seconds)
	return rateWK, seconds
}

// outletC is how hot water would leave that enters at inC.
func (c *tapCoil) outletC(t *tank, litres, flowLMin, scaled, inC float64) float64 {
	c.prepareFlow(t, litres, flowLMin, scaled)
	slope, offset := c.link(t, false)
	return slope*inC + offset
}

// draw sends litres of water through the coil and returns how hot they leave.
func (c *tapCoil) draw(t *tank, litres, flowLMin, scaled, inC float64) float64 {
	rateWK, seconds := c.prepareFlow(t, litres, flowLMin, scaled)
	outC, _ := c.settle(t, false, inC, rateWK, seconds)
	t.mixInversions()
	return outC
}

// endC is the store beside the coil's upper end: as hot as water gets in it.
func (c *tapCoil) endC(t *tank) float64 { return t.atHeightC(c.store.TapCoilTop) }

const (
	// vaporJKg is the heat that boiling water takes with it at 100 degC
	// (IAPWS-IF97).
	vaporJKg = 2.2565e6
	// dayS is a day in s.
	dayS = 86400
)

// stepStore lets the store lose fluid and boil. The level is told, not felt:
// heat capacity and heat stay those of the full store, and what seeps away takes
// no heat with it. But the heater is bare once the level is below it.
func (p *Plant) stepStore(stepS float64) {
	perDay := p.config.Store.LossLitresPerDay + math.Max(p.Damage.StoreLeakLitresPerDay, 0)
	lostLitres := perDay * stepS / dayS
	if p.tank.topC() > p.boilsAtC {
		boiledJ := p.tank.boilOff(p.boilsAtC)
		p.book.ReliefJ += boiledJ
		lostLitres += boiledJ / vaporJKg // a litre of water lost is a kilogram boiled, near enough
	}
	p.storeLevel = math.Max(0, p.storeLevel-lostLitres/p.config.TankLitres)
}

// TopUpStore is a person filling the store up again. The water is taken to be
// as warm as the store.
func (p *Plant) TopUpStore() { p.storeLevel = 1 }
