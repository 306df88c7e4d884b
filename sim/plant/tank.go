package plant

import "math"

// WaterJKgK is the specific heat of the drinking water in J/(kg K). One litre
// counts as one kilogram: between 5 and 90 degC the product of density and
// specific heat of water stays within 3 % of this (IAPWS-IF97).
const WaterJKgK = 4180

// tank is a column of water that moves upwards as a plug. Its cells travel
// with the water instead of letting the water pass from cell to cell, so
// drawing smears nothing: cell 0 is the cold water that has come in since the
// last whole layer was drawn, cells 1 to n-1 are whole layers, and cell n is
// what is left of the top layer.
//
//	  n  share 1-fill
//	...  whole layers
//	  1
//	  0  share fill, 0 <= fill < 1
//
// A tank of one layer is the exception: it is stirred, fill stays zero and
// cell 1 is all of it.
type tank struct {
	layers        int
	fill          float64
	tempC         []float64 // layers+1 cells, bottom first
	layerJK       float64   // heat capacity of a whole layer
	conductanceWK float64   // between neighbouring whole layers
	uaWK          float64
	inletLayers   float64 // how many layers the cold inlet's jet stirs
	generation    int     // counts changes of fill, for those who cache by it
	rest          restFactors
	weights       []float64 // of the heated span, see heat
	heated        heatedSpan
}

// heatedSpan is what weights were worked out for.
type heatedSpan struct {
	generation int
	low, high  float64
}

// restFactors are the constants of rest for one step length and one fill.
type restFactors struct {
	stepS      float64
	generation int
	lossShare  float64 // part of the excess over room temperature lost in a step
	conduction float64 // exchange of a whole layer with a whole neighbour
	// The outer two pairs have a partial cell; the exchange is bounded by
	// pairwise implicit steps so that a thin cell cannot overshoot.
	bottomOfCell0, bottomOfCell1 float64
	topOfCellN, topOfCellBelow   float64
}

func newTank(c Config) tank {
	t := tank{
		layers:        c.Layers,
		tempC:         make([]float64, c.Layers+1),
		layerJK:       c.layerCapacityJK(),
		conductanceWK: c.layerConductanceWK(),
		uaWK:          c.TankUAWK,
		inletLayers:   c.InletMixing * float64(c.Layers),
		weights:       make([]float64, c.Layers+1),
		generation:    1,
	}
	for k := range t.tempC {
		t.tempC[k] = c.StartC + (c.startTopC()-c.StartC)*max(0, float64(k)-0.5)/float64(c.Layers)
	}
	return t
}

// share is the size of cell k in whole layers.
func (t *tank) share(k int) float64 {
	switch k {
	case 0:
		return t.fill
	case t.layers:
		return 1 - t.fill
	}
	return 1
}

// bounds are the lower and upper end of cell k, in layers above the bottom.
func (t *tank) bounds(k int) (low, high float64) {
	switch k {
	case 0:
		return 0, t.fill
	case t.layers:
		return float64(t.layers-1) + t.fill, float64(t.layers)
	}
	return float64(k-1) + t.fill, float64(k) + t.fill
}

func (t *tank) topC() float64 { return t.tempC[t.layers] }

func (t *tank) hottestC() float64 {
	hottest := t.tempC[1]
	for _, c := range t.tempC[1:] {
		hottest = math.Max(hottest, c)
	}
	return hottest
}

// layerSumC is the sum of share times temperature over all cells.
func (t *tank) layerSumC() float64 {
	n := t.layers
	sum := t.fill * (t.tempC[0] - t.tempC[n])
	for _, c := range t.tempC[1:] {
		sum += c
	}
	return sum
}

// storedJ is the heat above 0 degC in J.
func (t *tank) storedJ() float64 { return t.layerSumC() * t.layerJK }

// atHeightC is the temperature at a height from 0 to 1 of the tank, straight
// between the middles of the cells.
func (t *tank) atHeightC(height float64) float64 {
	s := spot{height: height}
	return s.tempC(t)
}

// spread fills weights with the part of the span from low to high (in layers)
// that lies in each cell; the weights add up to 1.
func (t *tank) spread(weights []float64, low, high float64) {
	for k := range weights {
		cellLow, cellHigh := t.bounds(k)
		if t.layers == 1 && k == 1 {
			cellLow, cellHigh = 0, 1
		}
		// Comparisons instead of math.Max and math.Min: each draw leads here.
		if cellHigh > high {
			cellHigh = high
		}
		if cellLow < low {
			cellLow = low
		}
		weights[k] = 0
		if cellHigh > cellLow {
			weights[k] = (cellHigh - cellLow) / (high - low)
		}
	}
}

// heat puts energy in J into the span from low to high (in layers).
func (t *tank) heat(energyJ, low, high float64) {
	if s := &t.heated; s.generation != t.generation || s.low != low || s.high != high {
		*s = heatedSpan{t.generation, low, high}
		t.spread(t.weights, low, high)
	}
	for k, w := range t.weights {
		if w > 0 {
			t.tempC[k] += energyJ * w / (t.share(k) * t.layerJK)
		}
	}
	t.mixInversions()
}

// relax lets the tank stand for a step: conduction between the layers and loss
// to the room. It returns the heat lost in J.
func (t *tank) relax(roomC, stepS float64) float64 {
	if t.rest.stepS != stepS || t.rest.generation != t.generation {
		t.prepareRest(stepS)
	}
	r, n := &t.rest, t.layers
	sum := t.fill * (t.tempC[0] - t.tempC[n])
	keep, give := 1-r.lossShare, r.lossShare*roomC
	if n == 1 {
		sum = t.tempC[1]
		t.tempC[1] = t.tempC[1]*keep + give
		t.tempC[0] = t.tempC[1]
		return r.lossShare * (sum - roomC) * t.layerJK
	}
	cells := t.tempC[: n+1 : n+1]
	toBottom := cells[1] - cells[0]
	toTop := cells[n-1] - cells[n]
	// below is what a whole layer gets from its lower neighbour, in kelvin.
	below := -r.bottomOfCell1 * toBottom
	bottomC := cells[0] + r.bottomOfCell0*toBottom
	c := cells[1]
	for k := 1; k < n-1; k++ {
		next := cells[k+1]
		sum += c
		above := r.conduction * (next - c)
		cells[k] = (c+below+above)*keep + give
		below, c = -above, next
	}
	sum += c
	cells[n-1] = (c+below-r.topOfCellBelow*toTop)*keep + give
	sum += cells[n]
	cells[0] = bottomC*keep + give
	cells[n] = (cells[n]+r.topOfCellN*toTop)*keep + give
	return r.lossShare * (sum - float64(n)*roomC) * t.layerJK
}

func (t *tank) prepareRest(stepS float64) {
	total := float64(t.layers) * t.layerJK
	exchangeJK := t.conductanceWK * stepS
	r := restFactors{
		stepS:      stepS,
		generation: t.generation,
		lossShare:  t.rest.lossShare,
		conduction: exchangeJK / t.layerJK,
	}
	if stepS != t.rest.stepS {
		r.lossShare = -math.Expm1(-t.uaWK * stepS / total)
	}
	r.bottomOfCell0, r.bottomOfCell1 = boundedExchange(exchangeJK, t.fill*t.layerJK, t.layerJK)
	r.topOfCellN, r.topOfCellBelow = boundedExchange(exchangeJK, (1-t.fill)*t.layerJK, t.layerJK)
	t.rest = r
}

// boundedExchange is the exchange of two bodies over an implicit step, as a
// share of their difference that reaches each.
func boundedExchange(exchangeJK, firstJK, secondJK float64) (first, second float64) {
	if firstJK <= 0 {
		return 0, 0
	}
	moved := exchangeJK / (1 + exchangeJK*(1/firstJK+1/secondJK))
	return moved / firstJK, moved / secondJK
}
