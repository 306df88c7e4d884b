package plant

import "math"

// flow is what moves in the loop: mass flow and what it carries. Fluid
// properties are taken anew only when something has changed enough to matter.
type flow struct {
	kgS    float64 // signed: forward is from the collector's outlet to the coil's top
	rateWK float64 // mass flow times specific heat, without sign; zero at rest

	naturalKgS float64 // natural circulation now
	solved     balance // what its steady flow was worked out for

	level      float64 // pump level, natural flow and temperature the rest was worked out for
	worthKgS   float64
	fluidAtC   float64
	lastMoving bool
}

// fluidStaleK is how far the loop's mean may move before the fluid's
// properties are taken anew; the specific heat changes by about 0.1 % in it.
const fluidStaleK = 2

// refresh sets mass flow and capacity rate for the pump's level, or for the
// natural circulation while the pump rests. meanC is that of the loop. It tells
// whether anything changed.
func (f *flow) refresh(c *Config, level, meanC float64) (changed bool) {
	natural := 0.0
	if level <= 0 {
		natural = f.naturalKgS
		if math.Abs(natural-f.worthKgS) < 0.01*math.Abs(f.worthKgS) {
			natural = f.worthKgS // too small a change to be worth new factors
		}
	}
	if level <= 0 && natural == 0 {
		changed = f.lastMoving
		f.kgS, f.rateWK, f.worthKgS, f.lastMoving = 0, 0, 0, false
		return changed
	}
	if f.lastMoving && level == f.level && natural == f.worthKgS && math.Abs(meanC-f.fluidAtC) < fluidStaleK {
		return false
	}
	f.level, f.worthKgS, f.fluidAtC, f.lastMoving = level, natural, meanC, true
	f.kgS = natural
	if level > 0 {
		f.kgS = level * c.pumpFlowKgS(meanC)
	}
	f.rateWK = math.Abs(f.kgS) * c.Fluid.SpecificHeatJKgK(meanC)
	return true
}
