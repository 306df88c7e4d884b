package plant

import "math"

// Truth is the state of the plant as nature has it, before any probe. All
// temperatures are in degC.
type Truth struct {
	CollectorC    float64 // absorber at the probe's pocket, at the outlet
	CollectorMinC float64 // coldest part of the collector
	CoilSupplyC   float64 // fluid entering the coil (last value while at rest)
	CoilReturnC   float64 // fluid leaving the coil (last value while at rest)
	HotPipeC      float64 // pipe from the collector
	ColdPipeC     float64 // pipe to the collector
	TankTopC      float64 // at the top probe
	TankBottomC   float64 // at the bottom probe
	DrawC         float64 // water at the very top, what a draw gets
	HottestC      float64 // hottest layer
	AtTapC        float64 // hottest water a tap can give now
	FlowKgS       float64 // in the loop; negative in reverse
	PumpTurns     bool
	Heating       bool // current flows through the element
	CutOutOpen    bool

	// The hot-water line: where it leaves the tank, at the taps, where the ring
	// comes back. Without a line, or without a ring, the water it would come from.
	CirculationSupplyC, CirculationTapsC, CirculationReturnC float64
	CirculationTurns                                         bool
	// StoreLevel is the share of its filling left in a store of loop fluid; 1
	// for a tank of drinking water.
	StoreLevel float64

	// The sealed loop; without one the pressure is that of the filling.
	LoopPressurePa float64 // at the expansion vessel, absolute
	SteamShare     float64 // of the collector's content, 0 to 1
	FluidLostL     float64 // through relief valve and leaks, in cold litres
	LoopAirL       float64 // air that came in, in litres at the pressure of the air around
	BoilingC       float64 // of the fluid, at the pressure in the collector
	FreezingC      float64 // of the fluid: its first ice

	Hazards Hazards
}

// Hazards are the ways in which the plant hurts people or itself right now.
type Hazards struct {
	Steaming      bool // the collector is above the fluid's boiling point at loop pressure
	FlowIntoSteam bool // and the pump drives fluid into it
	Freezing      bool // part of the collector is below the fluid's freezing point
	ReliefOpen    bool // the tank's relief valve lets hot water out
	TankBoiling   bool // the tank is at its boiling point: no relief valve did its duty
	BareElement   bool // current flows through an element without water

	LoopReliefOpen bool // the loop's relief valve lets hot fluid out
	Burst          bool // frost has burst the collector
}

// Truth returns the state as it is now.
func (p *Plant) Truth() Truth {
	l, t := &p.loop, &p.tank
	coldest, _ := l.field.extremesC()
	steaming, f := p.steaming(), &p.filling
	supplyC, tapsC, returnC := p.lineC()
	return Truth{
		CollectorC:    l.field.outletC(),
		CollectorMinC: coldest,
		CoilSupplyC:   l.coilInC,
		CoilReturnC:   l.coilOutC,
		HotPipeC:      l.hot.meanC(),
		ColdPipeC:     l.cold.meanC(),
		TankTopC:      t.atHeightC(p.config.TopProbeHeight),
		TankBottomC:   t.atHeightC(p.config.BottomProbeHeight),
		DrawC:         p.drawC(),
		HottestC:      t.hottestC(),
		AtTapC:        p.atTapC(),
		FlowKgS:       l.flow.kgS,
		PumpTurns:     p.pumpLevel() > 0,
		Heating:       p.heating,
		CutOutOpen:    p.heater.cutOutOpen,

		CirculationSupplyC: supplyC,
		CirculationTapsC:   tapsC,
		CirculationReturnC: returnC,
		CirculationTurns:   p.line.turning,
		StoreLevel:         p.storeLevel,

		LoopPressurePa: f.vesselPa,
		SteamShare:     f.steam.share,
		FluidLostL:     f.lostFluidL(),
		LoopAirL:       f.airL,
		BoilingC:       p.boilingC,
		FreezingC:      p.freezingC,

		Hazards: Hazards{
			Steaming:      steaming,
			FlowIntoSteam: steaming && l.flow.rateWK > 0,
			Freezing:      coldest < p.freezingC,
			ReliefOpen:    p.releasing,
			TankBoiling:   t.topC() >= p.boilsAtC,
			BareElement:   p.heating && p.bare(),

			LoopReliefOpen: f.reliefOpen,
			Burst:          f.frost.burst,
		},
	}
}

// steaming tells whether the collector is hotter than its fluid boils, or holds
// steam.
func (p *Plant) steaming() bool { return p.hottestC > p.boilingC || p.filling.steam.share > 0 }

// LoopPressurePa is the pressure at the expansion vessel in Pa absolute, without
// the cost of a whole Truth.
func (p *Plant) LoopPressurePa() float64 { return p.filling.vesselPa }

// PumpNowW is the electric power that the loop pump takes in W, as of the last
// step.
func (p *Plant) PumpNowW() float64 { return p.config.PumpW * p.turning }

// HeaterNowW is the electric power that the heater takes in W, as of the last
// step; that of a scaled one is the mean of its cycles.
func (p *Plant) HeaterNowW() float64 {
	switch scaled := p.Damage.HeaterScaled; {
	case !p.heating:
		return 0
	case scaled > 0 && !p.bare():
		return p.heater.watt * (1 - clamp(scaled, 0, 1))
	}
	return p.heater.watt
}

// FlowKgS is the flow in the loop, negative in reverse.
func (p *Plant) FlowKgS() float64 { return p.loop.flow.kgS }

func (p *Plant) atTapC() float64 {
	hottestC := p.drawC()
	if p.line.fitted {
		hottestC = math.Max(hottestC, p.line.supply.column.hottestC())
	}
	return math.Min(hottestC, p.temperLimitC())
}

// drawC is the hottest water that leaves tank or drinking-water coil.
func (p *Plant) drawC() float64 {
	if p.config.Store.fitted() {
		return p.tapCoil.endC(&p.tank)
	}
	return p.tank.topC()
}

// lineC is the water at the line's beginning, at the taps and at the end of the
// ring.
func (p *Plant) lineC() (supplyC, tapsC, returnC float64) {
	l := &p.line
	if !l.fitted {
		c := p.drawC()
		return c, c, c
	}
	supplyC, tapsC = l.supply.beginC(), l.supply.endC()
	if !l.ring {
		return supplyC, tapsC, tapsC
	}
	return supplyC, tapsC, l.returnPipe.endC()
}

// CirculationC are the temperatures in degC of the hot-water line where it
// begins and where its ring comes back, without the cost of a whole Truth.
func (p *Plant) CirculationC() (supplyC, returnC float64) {
	supplyC, _, returnC = p.lineC()
	return supplyC, returnC
}

// CollectorC is the absorber at the probe's pocket in degC, without the cost of
// a whole Truth.
func (p *Plant) CollectorC() float64 { return p.loop.field.outletC() }

// TankC is the tank's temperature in degC at a height from 0 (bottom) to 1
// (top), outside clamped.
func (p *Plant) TankC(height float64) float64 { return p.tank.atHeightC(clamp(height, 0, 1)) }

// TankProbe returns a function that gives TankC of one height at any later time,
// for much less work.
func (p *Plant) TankProbe(height float64) func() float64 {
	s := spot{height: clamp(height, 0, 1)}
	return func() float64 { return s.tempC(&p.tank) }
}

// LayersC appends the temperatures of all cells that hold water to into,
// bottom first, and returns it. There are Layers or Layers+1 of them.
func (p *Plant) LayersC(into []float64) []float64 {
	if p.tank.fill > 0 {
		into = append(into, p.tank.tempC[0])
	}
	return append(into, p.tank.tempC[1:]...)
}
