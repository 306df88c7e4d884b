package plant

import "math"

// coil is a pipe coil in the lower part of the tank. Each tank cell it passes
// is an exchanger with one side at the cell's temperature, effectiveness
// 1 - exp(-UA/(m cp)) (Incropera / Kays and London, one fluid of unlimited
// capacity). The cell's own warming is treated implicitly, so a thin cell or a
// long step cannot overshoot.
//
// With effectiveness 1 the same equations are those of fluid that leaves the
// pipe and passes from cell to cell, stirred in each: tanks in series, by a
// backward Euler step. That is the direct loop of a store of loop fluid, and the
// way of the circulation through a tank.
type coil struct {
	uaWK        float64
	low, high   float64   // in layers above the bottom
	weights     []float64 // part of the coil in each cell
	effect      []float64 // share of the fluid's excess given up in each cell
	warming     []float64 // rise of the cell per kelvin of excess
	first, last int       // cells the coil touches

	rateWK, stepS float64 // what effect and warming were worked out for
	generation    int

	direct   bool // no coil: the fluid itself passes the cells and mixes in each
	byLayers bool // and enters where the tank is as warm as it, see seekLayer
}

func newCoil(c Config) coil {
	n := float64(c.Layers)
	coil := newSpan(c.Layers, c.CoilBottom*n, c.CoilTop*n)
	coil.uaWK = c.CoilUAWK
	coil.direct = c.Store.fitted()
	coil.byLayers = c.Store.fitted() && c.Store.FeedByLayers
	return coil
}

// newSpan is a coil without transfer, from low to high in layers.
func newSpan(layers int, low, high float64) coil {
	return coil{
		low: low, high: high,
		weights: make([]float64, layers+1),
		effect:  make([]float64, layers+1),
		warming: make([]float64, layers+1),
	}
}

// setTransfer changes the heat transfer of the whole coil in W/K.
func (c *coil) setTransfer(uaWK float64) {
	if uaWK != c.uaWK {
		c.uaWK, c.rateWK = uaWK, 0
	}
}

// seekLayer moves the upper end to the highest cell that is no warmer than the
// fluid that entered last (a step ago; a store changes little in it).
func (c *coil) seekLayer(t *tank, enteredC float64) {
	lowest := min(int(c.low)+1, t.layers)
	k := t.layers
	for k > lowest && t.tempC[k] > enteredC {
		k--
	}
	if high := float64(k); high != c.high {
		c.high, c.rateWK = high, 0
	}
}

// prepare works out the factors anew if flow, step or the tank's cells moved.
func (c *coil) prepare(t *tank, rateWK, stepS float64) {
	if c.rateWK == rateWK && c.stepS == stepS && c.generation == t.generation {
		return
	}
	c.rateWK, c.stepS, c.generation = rateWK, stepS, t.generation
	t.spread(c.weights, c.low, c.high)
	c.first, c.last = len(c.weights), -1
	for k, w := range c.weights {
		c.effect[k], c.warming[k] = 0, 0
		if w <= 0 {
			continue
		}
		c.first, c.last = min(c.first, k), k
		effectiveness := 1.0
		if !c.direct {
			effectiveness = -math.Expm1(-c.uaWK * w / rateWK)
		}
		perCell := rateWK * stepS / (t.share(k) * t.layerJK)
		c.effect[k] = effectiveness / (1 + perCell*effectiveness)
		c.warming[k] = c.effect[k] * perCell
	}
}

// link returns slope and offset of the whole coil; forward flow runs down.
func (c *coil) link(t *tank, forward bool) (slope, offset float64) {
	slope = 1
	for j := c.first; j <= c.last; j++ {
		k := j
		if forward {
			k = c.last + c.first - j
		}
		e := c.effect[k]
		slope *= 1 - e
		offset += e * (t.tempC[k] - offset)
	}
	return slope, offset
}

// settle sends the fluid through, warms or cools the cells and returns the
// fluid's end temperature in degC and the heat given to the tank in J.
func (c *coil) settle(t *tank, forward bool, inC, rateWK, stepS float64) (outC, toTankJ float64) {
	fluidC := inC
	for j := c.first; j <= c.last; j++ {
		k := j
		if forward {
			k = c.last + c.first - j
		}
		excessK := fluidC - t.tempC[k]
		t.tempC[k] += c.warming[k] * excessK
		fluidC -= c.effect[k] * excessK
	}
	return fluidC, (inC - fluidC) * rateWK * stepS
}
