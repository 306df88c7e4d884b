package plant

import (
	"math"

	"sunstoker/physics"
)

// flow is what moves in the loop: mass flow and what it carries. Fluid
// properties are taken anew only when something has changed enough to matter.
type flow struct {
	kgS    float64 // signed: forward is from the collector's outlet to the coil's top
	rateWK float64 // mass flow times specific heat, without sign; zero at rest

	naturalKgS float64 // natural circulation now

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

// naturalLagS is how slowly natural circulation follows its drive. Real loops
// are slower still to start; the lag keeps long steps from swinging (common
// practice, no source).
const naturalLagS = 60

// drift moves the natural circulation towards the one that the weights of the
// columns drive, or stops it where a valve does.
func (l *loop) drift(c *Config, open bool, coilMeanC, stepS float64) {
	if !open {
		l.flow.naturalKgS = 0
		return
	}
	l.flow.naturalKgS += (l.naturalTarget(c, coilMeanC) - l.flow.naturalKgS) * stepS / (stepS + naturalLagS)
}

// naturalTarget is the steady flow in kg/s for the weights as they are now:
// minus the integral of rho g dz around the loop (package physics) against a
// resistance that grows with the flow (laminar), scaled from the loop's
// pressure drop at full pump level. Negative is reverse circulation.
func (l *loop) naturalTarget(c *Config, coilMeanC float64) float64 {
	collectorC := l.field.meanC()
	collectorM := c.CollectorHeightM
	coilM := (c.CoilTop - c.CoilBottom) * c.TankHeightM
	half := (collectorM - coilM) / 2
	drivePa := c.Fluid.DrivingPressurePa([]physics.LoopLeg{
		{RiseM: c.CollectorAboveTankM - half, MeanC: l.cold.meanC()},
		{RiseM: collectorM, MeanC: collectorC},
		{RiseM: -c.CollectorAboveTankM - half, MeanC: l.hot.meanC()},
		{RiseM: -coilM, MeanC: coilMeanC},
	})
	return drivePa / c.LoopHeadPa * c.pumpFlowKgS(collectorC)
}
