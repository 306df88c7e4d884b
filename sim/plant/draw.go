package plant

import "math"

// Draw is water wanted at a tap during one step.
type Draw struct {
	Litres float64 // mixed water at the tap, zero or more
	TapC   float64 // wanted temperature in degC
	// UsefulC is the temperature in degC from which the heat counts as
	// delivered at temperature; water up to 1 K colder still passes.
	UsefulC float64
	// FlowLMin is how fast the mixed water runs in litres a minute; only a
	// drinking-water coil asks for it. Zero: its rated flow.
	FlowLMin float64
	// LetRun tells that the tap has just been opened and that the water runs
	// off unused until it is useful, or until what stood in the hot-water line
	// is out. What runs off comes on top of Litres.
	LetRun bool
}

// Drawn is what came of a Draw.
type Drawn struct {
	Litres         float64 // mixed water at the tap
	HotLitres      float64 // out of the tank's top
	MeanC          float64 // mean temperature at the tap in degC
	AskedJ         float64 // heat of the wanted water above the cold inlet
	DeliveredJ     float64 // heat above the cold inlet that came
	AtTemperatureJ float64 // part of it at or above UsefulC
	ColdLitres     float64 // ran off unused before, out of the hot-water line
	ColdJ          float64 // heat above the cold inlet in them
	WaitS          float64 // how long they took at the draw's flow, in s
}

// usefulToleranceK is how much colder than asked still serves: about what a
// hand does not notice (common practice, no source). Regulation (EU) 814/2013
// itself counts water from its useful temperature on and not below.
const usefulToleranceK = 1

// tap draws mixed water. As little hot water as needed leaves the top of the
// tank, cold water is added up to the wanted temperature, and as much cold
// water enters the tank below. limitC is the hottest water the tempering valve
// lets through. It returns the result and the heat that left the tank in J.
func (t *tank) tap(d Draw, coldC, limitC float64) (Drawn, float64) {
	out := Drawn{Litres: d.Litres, MeanC: coldC}
	if !(d.Litres > 0) {
		return out, 0
	}
	layerLitres := t.layerJK / WaterJKgK
	leftLitres, heatLC := d.Litres, 0.0
	for leftLitres > 1e-9*d.Litres {
		tapC, hotShare := temper(d.TapC, t.topC(), coldC, limitC)
		portion := leftLitres
		available := t.passable() * layerLitres
		if hotShare*portion > available {
			portion = available / hotShare
		}
		hotLitres := hotShare * portion
		// A stirred tank cools while it is drawn: the mean leaves the tank.
		leftTankC := t.pull(hotLitres/layerLitres, coldC)
		if t.inletLayers > 0 {
			t.stirInlet()
		}
		if t.layers == 1 {
			tapC = coldC + hotShare*(leftTankC-coldC)
		}
		out.HotLitres += hotLitres
		heatLC += hotLitres * (leftTankC - coldC)
		if tapC >= d.UsefulC-usefulToleranceK {
			out.AtTemperatureJ += portion * (tapC - coldC) * WaterJKgK
		}
		leftLitres -= portion
	}
	t.mixInversions()
	out.AskedJ = math.Max(0, d.Litres*(d.TapC-coldC)*WaterJKgK)
	out.DeliveredJ = heatLC * WaterJKgK
	out.MeanC = coldC + heatLC/d.Litres
	return out, out.DeliveredJ
}

// temper is the temperature at the tap and the share of hot water in it.
func temper(wantedC, hotC, coldC, limitC float64) (tapC, hotShare float64) {
	tapC = math.Min(wantedC, limitC)
	if tapC <= coldC {
		return coldC, 0
	}
	if hotC <= tapC {
		return hotC, 1
	}
	return tapC, (tapC - coldC) / (hotC - coldC)
}

// passable is how many layers can be drawn in one piece.
func (t *tank) passable() float64 {
	if t.inletLayers > 0 {
		return math.Min(1-t.fill, t.jetPortion())
	}
	return 1 - t.fill
}

// pull takes a volume (in layers, at most what is left of the top cell) out of
// the top, lets cold water in below and returns the mean temperature of what
// left in degC.
func (t *tank) pull(layers, coldC float64) float64 {
	if layers <= 0 {
		return t.topC()
	}
	if t.layers == 1 {
		// Exact for a stirred tank: T = Tc + (T0 - Tc) exp(-V/V0).
		before := t.tempC[1] - coldC
		after := before * math.Exp(-layers)
		t.tempC[1] = coldC + after
		t.tempC[0] = t.tempC[1]
		return coldC + (before-after)/layers
	}
	outC := t.topC()
	t.tempC[0] = (t.fill*t.tempC[0] + layers*coldC) / (t.fill + layers)
	t.fill += layers
	t.generation++
	if t.fill > 1-1e-9 {
		t.shift()
	}
	return outC
}

// shift renames the cells once the top one is used up. The sliver that
// rounding leaves is given to the new bottom layer, so heat is kept.
func (t *tank) shift() {
	n := t.layers
	sliver := 1 - t.fill
	lostC := sliver * (t.tempC[n] - t.tempC[0])
	copy(t.tempC[1:], t.tempC[:n])
	t.tempC[1] += lostC
	t.tempC[0] = t.tempC[1]
	t.fill = 0
}
