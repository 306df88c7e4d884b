package plant

import "math"

// TapSeries draws from plants in series: cold water enters the first, the water
// of each enters the next, and the last one feeds the taps by its hot-water
// line and its tempering valve. Each plant's book counts as drawn what the
// water gained in it. With one plant it is Tap. It allocates nothing.
//
// Water moves in pieces small enough that each comes out of one layer or cell.
// Flow and supply of all plants must be sound: a stopped inlet anywhere stops
// the taps.
func TapSeries(chain []*Plant, d Draw, coldC float64) Drawn {
	out := Drawn{Litres: d.Litres, MeanC: coldC}
	if !(d.Litres > 0) || len(chain) == 0 {
		out.Litres = 0
		return out
	}
	out.AskedJ = math.Max(0, d.Litres*(d.TapC-coldC)*WaterJKgK)
	for _, p := range chain {
		if p.Damage.InletStopped {
			out.Litres = 0
			return out
		}
	}
	last := chain[len(chain)-1]
	flowLMin := d.FlowLMin
	if !(flowLMin > 0) {
		flowLMin = last.usualFlowLMin()
	}
	if d.LetRun {
		letRun(chain, d.UsefulC-usefulToleranceK, flowLMin, coldC, &out)
	}
	limitC := last.temperLimitC()
	for leftLitres := d.Litres; leftLitres > 1e-9*d.Litres; {
		portion := leftLitres
		hotShare := mixAtTap(chain, d.TapC, limitC, portion, flowLMin, coldC)
		tapC := coldC
		if hotShare > 0 {
			portion = math.Min(portion, passable(chain)/hotShare)
			tapC += hotShare * (pass(chain, hotShare*portion, hotShare*flowLMin, coldC) - coldC)
		}
		heatJ := portion * (tapC - coldC) * WaterJKgK
		out.HotLitres += hotShare * portion
		out.DeliveredJ += heatJ
		if tapC >= d.UsefulC-usefulToleranceK {
			out.AtTemperatureJ += heatJ
		}
		leftLitres -= portion
	}
	out.MeanC = coldC + out.DeliveredJ/(d.Litres*WaterJKgK)
	for _, p := range chain {
		p.tank.mixInversions()
	}
	return out
}

// letRun lets the hot-water line's content run off until what comes is at
// least wantedC, or all that stood in the line is out.
func letRun(chain []*Plant, wantedC, flowLMin, coldC float64, out *Drawn) {
	last := chain[len(chain)-1]
	if !last.line.fitted {
		return
	}
	stood := last.line.supply.litres
	for out.ColdLitres < stood*(1-1e-9) && last.line.supply.endC() < wantedC {
		litres := math.Min(stood-out.ColdLitres, passable(chain))
		out.ColdJ += litres * (pass(chain, litres, flowLMin, coldC) - coldC) * WaterJKgK
		out.ColdLitres += litres
	}
	out.WaitS = out.ColdLitres / flowLMin * 60
}

// mixAtTap is the share of hot water in the mixture of the next litres. Where a
// drinking-water coil feeds the tap the water is the hotter the less of it
// passes, so the share is sought by repetition; it settles, since more water
// always carries more heat.
func mixAtTap(chain []*Plant, wantedC, limitC, litres, flowLMin, coldC float64) float64 {
	share := 1.0
	for range 60 {
		piece := math.Min(share*litres, passable(chain))
		_, next := temper(wantedC, comesC(chain, piece, share*flowLMin, coldC), coldC, limitC)
		if next == 0 || math.Abs(next-share) < 1e-7 {
			return next
		}
		share = next
	}
	return share
}

// comesC is how hot litres of hot water would come to the taps at a flow.
func comesC(chain []*Plant, litres, flowLMin, coldC float64) float64 {
	hotC := coldC
	for _, p := range chain {
		hotC = p.offersC(litres, flowLMin, hotC)
	}
	return hotC
}

// passable is how many litres can be drawn through all plants in one piece.
func passable(chain []*Plant) float64 {
	least := math.Inf(1)
	for _, p := range chain {
		least = math.Min(least, p.passable())
	}
	return least
}

// pass sends litres through all plants and returns how hot they come out.
func pass(chain []*Plant, litres, flowLMin, coldC float64) float64 {
	hotC := coldC
	for _, p := range chain {
		hotC = p.pass(litres, flowLMin, hotC)
	}
	return hotC
}

// storePiece is the largest piece of a draw through a drinking-water coil, as a
// share of the store: the store cools in it, and the coil is computed at its
// end.
const storePiece = 1.0 / 500

func (p *Plant) passable() float64 {
	least := math.Inf(1)
	if p.line.fitted {
		least = p.line.supply.passable()
	}
	if p.config.Store.fitted() {
		return math.Min(least, storePiece*p.config.TankLitres)
	}
	available := p.tank.passable()
	if p.tank.layers == 1 {
		// Stirred: small pieces, so that what comes cools evenly.
		available = 1.0 / 64
	}
	return math.Min(least, available*p.tank.layerJK/WaterJKgK)
}

// offersC is how hot litres would leave the plant that enter it at inC.
func (p *Plant) offersC(litres, flowLMin, inC float64) float64 {
	switch {
	case p.line.fitted:
		return p.line.supply.endC()
	case p.config.Store.fitted():
		return p.tapCoil.outletC(&p.tank, litres, flowLMin, p.Damage.TapCoilScaled, inC)
	}
	return p.tank.topC()
}

// pass sends litres of water through tank and line, at most passable.
func (p *Plant) pass(litres, flowLMin, inC float64) (outC float64) {
	if p.config.Store.fitted() {
		outC = p.tapCoil.draw(&p.tank, litres, flowLMin, p.Damage.TapCoilScaled, inC)
	} else {
		outC = p.tank.pull(litres*WaterJKgK/p.tank.layerJK, inC)
		if p.tank.inletLayers > 0 {
			p.tank.stirInlet()
		}
	}
	if p.line.fitted {
		outC = p.line.supply.push(litres, outC)
	}
	p.book.DrawnJ += litres * (outC - inC) * WaterJKgK
	return outC
}

// usualFlowLMin is the flow of a draw that names none.
func (p *Plant) usualFlowLMin() float64 {
	if p.config.Store.fitted() {
		return p.config.Store.RatedLMin
	}
	return 6
}

// temperingStuckColdC is what a tempering valve lets through that has stuck on
// its cold side (common practice, no source).
const temperingStuckColdC = 30

// temperLimitC is the hottest water that the tempering valve lets through. One
// that is stuck both ways counts as stuck hot, the way that hurts.
func (p *Plant) temperLimitC() float64 {
	switch {
	case p.config.TemperingC == 0 || p.Damage.TemperingStuckHot:
		return math.Inf(1)
	case p.Damage.TemperingStuckCold:
		return math.Min(temperingStuckColdC, p.config.TemperingC)
	}
	return p.config.TemperingC
}
