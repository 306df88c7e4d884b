package plant

import (
	"math"

	"sunstoker/physics"
)

// Sealing is what holds the loop's pressure: its content, the expansion vessel
// and the relief valve. Figures that are zero are filled in with the usual size
// for the plant (common practice, no source), the vessel large enough for
// stagnation.
type Sealing struct {
	// Fitted is set for a sealed loop. Otherwise the pressure stays as filled,
	// and neither steam nor a loss of fluid has consequences. The loop of a
	// store of loop fluid is never sealed.
	Fitted bool
	// CollectorLM2 is the collector's content in litres per m2; zero: 0.5.
	CollectorLM2 float64
	// CoilL is the coil's content in litres; zero: 0.02 for each W/K of it.
	CoilL float64
	// VesselL is the whole expansion vessel in litres, beside the tank.
	VesselL float64
	// PrechargePaAbs is the pressure of its gas before filling in Pa absolute;
	// zero: half a bar below the filling.
	PrechargePaAbs float64
	// ReliefPaAbs is where the loop's relief valve opens in Pa absolute; zero:
	// 6 bar above the air or, in a loop of high pressure, 2.5 bar above the
	// filling.
	ReliefPaAbs float64
	// NoVessel and NoRelief take vessel and relief valve away.
	NoVessel, NoRelief bool
}

const (
	// fillC is the temperature at which the loop is filled.
	fillC = 15
	// hotLoopC is what the whole content reaches at most, for sizing.
	hotLoopC = 95
	// stiffShare is the elasticity of a loop without a cushion, as a gas volume
	// by its content: hoses, pockets of air.
	stiffShare = 0.02
	// cushionLeft is what a vessel that has lost its cushion still holds of it.
	cushionLeft = 0.03
	// reliefClosesAt is where a relief valve closes again, by its opening
	// pressure above the air.
	reliefClosesAt = 0.9
	// mostLoopPa is a bound: by then a joint has given way.
	mostLoopPa = 50e5
)

// headPa is the weight of the fluid between the vessel, beside the tank, and
// the collector's middle.
func (c *Config) headPa() float64 {
	return physics.GravityMS2 * c.Fluid.DensityKgM3(fillC) * c.CollectorAboveTankM
}

// airPa is the pressure of the air around the plant.
func (c *Config) airPa() float64 {
	if c.AirPaAbs > 0 {
		return c.AirPaAbs
	}
	return physics.StandardPressurePa
}

// fillPa is the pressure at the vessel when the loop has been filled.
func (c *Config) fillPa() float64 { return math.Max(c.LoopPressurePaAbs+c.headPa(), c.airPa()) }

// usual fills in what was left zero.
func (s Sealing) usual(c *Config) Sealing {
	fillPa := c.fillPa()
	if s.CollectorLM2 == 0 {
		s.CollectorLM2 = 0.5
	}
	if s.CoilL == 0 {
		s.CoilL = 0.02 * c.CoilUAWK
	}
	if s.PrechargePaAbs == 0 {
		s.PrechargePaAbs = math.Max(fillPa-0.5e5, 0.8*fillPa)
	}
	if s.ReliefPaAbs == 0 {
		s.ReliefPaAbs = math.Max(6e5+c.airPa(), fillPa+2.5e5)
	}
	if s.VesselL == 0 {
		s.VesselL = s.vesselNeedL(c)
	}
	return s
}

// vesselNeedL is the vessel in litres that takes the expansion and the whole
// collector's content as steam, and half a litre more, below 0.9 of the relief
// valve's opening (Boyle's law; as physics.VesselNeed, the reserve being what the
// filling pressed into it).
func (s Sealing) vesselNeedL(c *Config) float64 {
	content := s.contentL(c)
	growth := c.Fluid.DensityKgM3(fillC)/c.Fluid.DensityKgM3(hotLoopC) - 1
	needL := content*growth + s.collectorL(c) + 0.5
	endPa := c.airPa() + 0.9*(s.ReliefPaAbs-c.airPa())
	share := s.PrechargePaAbs/c.fillPa() - s.PrechargePaAbs/endPa
	return needL / math.Max(share, 0.05)
}

func (s Sealing) collectorL(c *Config) float64 { return s.CollectorLM2 * c.Collector.AreaM2 }

func (s Sealing) contentL(c *Config) float64 {
	return s.collectorL(c) + s.CoilL + c.HotPipe.VolumeL + c.ColdPipe.VolumeL
}

// Sealed tells whether the loop is under pressure of its own.
func (c *Config) Sealed() bool { return c.Sealing.Fitted && !c.Store.fitted() }

func (c Config) sealingRanges() []valueRange {
	s := c.Sealing
	return []valueRange{
		{"the collector's content in l/m2", s.CollectorLM2, 0, 50},
		{"the coil's content in litres", s.CoilL, 0, 1e4},
		{"the expansion vessel in litres", s.VesselL, 0, 1e5},
		{"the precharge of the expansion vessel in Pa absolute (at most the filling's)", s.PrechargePaAbs, 0, c.fillPa()},
		{"the loop's relief valve in Pa absolute", s.ReliefPaAbs, 0, 26e5},
	}
}

// filling is the loop's content and its pressure.
type filling struct {
	fitted                     bool
	sealing                    Sealing
	collectorL, contentL       float64
	coldKgM3, headPa, fillPa   float64
	airPa                      float64 // of the air around
	hotPipeL, coldPipeL, coilL float64

	lostL float64 // fluid lost, as cold litres
	airL  float64 // air that came in, at the pressure of the air around

	vesselPa, topPa float64 // absolute, at the vessel and at the collector
	reliefOpen      bool

	steam steam
	frost frost
	// passes is the share of the flow that air, ice and lack of fluid let pass.
	passes  float64
	drained bool // all fluid ran out of a burst
	gone    bool // Damage.FluidGone, as of the last look

	boilingAtPa float64 // pressure that the plant's boiling point belongs to
}

func newFilling(c *Config) filling {
	f := filling{frost: newFrost(c.Fluid), passes: 1, headPa: c.headPa(), fillPa: c.fillPa(), airPa: c.airPa()}
	f.vesselPa, f.topPa = f.fillPa, c.LoopPressurePaAbs
	f.boilingAtPa = f.topPa
	if !c.Sealed() {
		return f
	}
	s := c.Sealing.usual(c)
	f.fitted, f.sealing = true, s
	f.collectorL, f.contentL = s.collectorL(c), s.contentL(c)
	f.hotPipeL, f.coldPipeL, f.coilL = c.HotPipe.VolumeL, c.ColdPipe.VolumeL, s.CoilL
	f.coldKgM3 = c.Fluid.DensityKgM3(fillC)
	f.steam = newSteam(c.CollectorNodes, f.collectorL)
	return f
}

// gas is the cushion: that of the vessel, what a broken one has left of it, or
// the elasticity of a loop without a vessel.
func (f *filling) gas(cushionLost bool) physics.SealedGas {
	litres, leastL := f.sealing.VesselL, stiffShare*f.contentL
	if cushionLost {
		litres *= cushionLeft
	}
	if f.sealing.NoVessel {
		litres = 0
	}
	return physics.SealedGas{VolumeLitre: math.Max(litres, leastL), PrechargePaAbs: f.sealing.PrechargePaAbs}
}

// grownL is by how much the liquid has grown since the filling. Above the range
// of the fluid's density it grows no more (see physics.Fluid).
func (f *filling) grownL(fluid physics.Fluid, fieldC, hotC, coldC, coilC float64) float64 {
	grow := func(litres, tempC float64) float64 {
		return litres * (f.coldKgM3/fluid.DensityKgM3(tempC) - 1)
	}
	return grow(f.collectorL*(1-f.steam.share), fieldC) + grow(f.hotPipeL, hotC) + grow(f.coldPipeL, coldC) + grow(f.coilL, coilC)
}

// settle works out the pressure for a growth of the liquid in litres, lets the
// relief valve act and air come in where the pressure at the collector would
// fall below that of the air.
func (f *filling) settle(grownL float64, d *Damage) {
	gas := f.gas(d.CushionLost)
	f.lostL = math.Min(f.lostL, f.contentL)
	pushedL := gas.TakenLitre(f.fillPa) + grownL + f.steam.share*f.collectorL - f.lostL
	f.reliefOpen = false
	pa := f.pressurePa(gas, pushedL)
	if limit := f.sealing.ReliefPaAbs; pa > limit && !f.sealing.NoRelief && !d.LoopReliefShut {
		f.reliefOpen = true
		pa = f.airPa + reliefClosesAt*(limit-f.airPa)
		left := gas.TakenLitre(pa) - f.airL*f.airPa/math.Max(pa-f.headPa, f.airPa)
		f.lostL += math.Max(pushedL-left, 0)
	}
	if pa-f.headPa < f.airPa {
		pa = f.airPa + f.headPa
		f.airL = math.Max(f.airL, gas.TakenLitre(pa)-pushedL)
	}
	f.vesselPa = math.Min(pa, mostLoopPa)
	f.topPa = math.Max(f.vesselPa-f.headPa, f.airPa)
}

// pressurePa is the pressure at the vessel at which cushion and air in the loop
// together leave room for what was pushed out, by Boyle's law for both:
//
//	V - V p0/p = pushed + air pa/(p - head)
func (f *filling) pressurePa(gas physics.SealedGas, pushedL float64) float64 {
	if f.airL == 0 && pushedL >= 0 {
		return gas.PressurePaAbs(pushedL)
	}
	a := math.Max(gas.VolumeLitre-pushedL, 0.01*gas.VolumeLitre)
	b := a*f.headPa + gas.VolumeLitre*gas.PrechargePaAbs + f.airL*f.airPa
	c := gas.VolumeLitre * gas.PrechargePaAbs * f.headPa
	pa := (b + math.Sqrt(math.Max(b*b-4*a*c, 0))) / (2 * a)
	if pa >= gas.PrechargePaAbs {
		return pa
	}
	// The vessel is empty, the air alone gives way.
	return f.headPa + f.airL*f.airPa/math.Max(-pushedL, 1e-9)
}

// bubbleL is the air at the collector, at the pressure there.
func (f *filling) bubbleL() float64 { return f.airL * f.airPa / f.topPa }

// lostFluidL is what has been lost in cold litres.
func (f *filling) lostFluidL() float64 {
	if f.dry() {
		return f.contentL
	}
	return f.lostL
}

// airLockShare is the bubble, by the collector's content, that a small pump
// does not push down any more (common practice, no source).
const airLockShare = 0.2

const (
	// fillingEveryS is how often the pressure is looked at while nothing boils,
	// freezes or breaks.
	fillingEveryS = 300
	// nearBoilingK is how close to its boiling point a field counts as boiling.
	nearBoilingK = 5
	// boilingStale is by what share the pressure may move before the boiling
	// point is worked out anew; 0.03 K.
	boilingStale = 0.001
)

// look tells when the filling must be looked at: it moves slowly but for heat,
// cold and sudden damage.
type look struct {
	atS, lastS     float64 // elapsed time of the next and of the last look
	aboveC, belowC float64 // or sooner, if a cell of the collector is beyond these
	gone           bool    // Damage.FluidGone, as of the last look
}

// stepFilling moves pressure, steam, ice and losses of the loop's fluid, when it
// is time.
func (p *Plant) stepFilling() {
	if l := &p.look; p.elapsedS >= l.atS || p.hottestC > l.aboveC || p.coldestC < l.belowC || p.Damage.FluidGone != l.gone {
		p.moveFilling()
	}
}

func (p *Plant) moveFilling() {
	f, d := &p.filling, &p.Damage
	sinceS := p.elapsedS - p.look.lastS
	p.freezingC = f.frost.step(p.coldestC, d.GlycolLost, sinceS)
	if f.frost.burst && p.coldestC > p.freezingC {
		f.drained = true
	}
	f.gone = d.FluidGone
	if f.fitted {
		p.moveSealed(sinceS)
	}
	f.passes = 1
	switch {
	case f.dry() || f.frost.blocked:
		f.passes = 0
	case f.airL > 0:
		f.passes = 1 - math.Min(f.bubbleL()/(airLockShare*f.collectorL), 1)
	}
	p.look = look{atS: p.elapsedS + fillingEveryS, lastS: p.elapsedS, aboveC: p.boilingC - nearBoilingK, belowC: p.freezingC, gone: f.gone}
	if f.steam.share > 0 {
		p.look.atS = p.elapsedS
	}
}

// moveSealed moves steam, losses and pressure of a sealed loop.
func (p *Plant) moveSealed(sinceS float64) {
	f, c, d, l := &p.filling, &p.config, &p.Damage, &p.loop
	boils := p.hottestC > p.boilingC-nearBoilingK || f.steam.share > 0
	if boils && f.steam.move(&l.field, p.boilingC, f.wetShare()) {
		p.coldestC, p.hottestC = l.field.extremesC()
	}
	f.lostL += (math.Max(d.LoopLeakLPerDay, 0) + f.weepsLPerDay(d)) * sinceS / dayS
	coilC := p.tank.atHeightC((c.CoilBottom + c.CoilTop) / 2)
	f.settle(f.grownL(c.Fluid, l.field.meanC(), l.hot.meanC(), l.cold.meanC(), coilC), d)
	if f.dry() {
		f.vesselPa, f.topPa, f.reliefOpen = f.airPa, f.airPa, false
	}
	if math.Abs(f.topPa-f.boilingAtPa) > boilingStale*f.boilingAtPa {
		f.boilingAtPa = f.topPa
		p.boilingC = c.Fluid.BoilingPointC(f.topPa)
	}
	if boils {
		f.steam.steep(c, f, p.boilingC, d.CushionLost)
	}
}

// dry tells whether there is no fluid at all.
func (f *filling) dry() bool { return f.drained || f.gone }

// wetShare is the part of the collector that holds fluid, as liquid or steam.
func (f *filling) wetShare() float64 {
	if f.dry() {
		return 0
	}
	return 1 - math.Min(f.bubbleL()/f.collectorL, 1)
}

// weepsLPerDay is what a weeping relief valve loses; the damage names it at 2
// bar above the air.
func (f *filling) weepsLPerDay(d *Damage) float64 {
	return math.Max(d.LoopReliefWeepsLPerDay, 0) * math.Max(f.vesselPa-f.airPa, 0) / 2e5
}

// RefillLoop is a person who mends a burst, vents the loop and fills it to its
// first pressure with fresh fluid. What else is broken goes on losing it. A
// collector that is still hot must cool first; nobody refills it then, and it
// returns false.
func (p *Plant) RefillLoop() bool {
	if p.filling.steam.share > 0 || p.hottestC > 100 {
		return false
	}
	f := &p.filling
	f.lostL, f.airL, f.drained = 0, 0, false
	f.frost.mend()
	p.look.atS = p.elapsedS
	return true
}
