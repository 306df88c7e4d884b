package plant

import (
	"math"

	"sunstoker/physics"
)

// naturalLagS is how slowly natural circulation follows the balance of its
// pressures. The fluid's own inertia is a matter of seconds; the lag stands for
// the transit of the cells' temperatures and keeps long steps from swinging
// (common practice, no source).
const naturalLagS = 60

// coilLegs is into how many legs the coil is cut.
const coilLegs = 4

// drive is what may move the loop while the pump rests.
type drive int

const (
	held      drive = iota // nothing passes
	onward                 // a check valve that the flow lifts: forward only
	eitherWay              // no valve, or one stuck open
)

// drift moves the natural circulation towards the flow at which buoyancy and
// friction balance, or stops it where a valve does. By a backward Euler step, so
// that the result hardly depends on the step's length.
//
// Of that flow only a share passes where dirt takes the rest.
func (l *loop) drift(c *Config, t *tank, d drive, passes, stepS float64) {
	if d == held {
		l.flow.naturalKgS = 0
		return
	}
	drivePa := l.buoyancyPa(c, t)
	if d == onward {
		drivePa = max(0, drivePa-c.CheckOpensPa)
	}
	target := passes * l.flow.solved.flowKgS(c, drivePa, l.hot.meanC(), l.cold.meanC(), l.coilOutC)
	l.flow.naturalKgS += (target - l.flow.naturalKgS) * stepS / (stepS + naturalLagS)
}

// buoyancyPa is minus the integral of rho g dz around the loop (package
// physics): cold pipe up to the collector's inlet, each of its cells, hot pipe
// to the coil's top, down through the coil. Negative drives reverse circulation.
func (l *loop) buoyancyPa(c *Config, t *tank) float64 {
	var legs [2 + MaxCollectorNodes + coilLegs]physics.LoopLeg
	coilM := (c.CoilTop - c.CoilBottom) * c.TankHeightM
	half := (c.CollectorHeightM - coilM) / 2
	legs[0] = physics.LoopLeg{RiseM: c.CollectorAboveTankM - half, MeanC: l.cold.meanC()}
	legs[1] = physics.LoopLeg{RiseM: -c.CollectorAboveTankM - half, MeanC: l.hot.meanC()}
	n := 2
	for _, cellC := range l.field.cellC {
		legs[n] = physics.LoopLeg{RiseM: c.CollectorHeightM / float64(len(l.field.cellC)), MeanC: cellC}
		n++
	}
	// The fluid in the coil is as warm as the water around it, but for what is
	// left of the excess it came with.
	forward := l.flow.naturalKgS >= 0
	excessK, decay, mean := 0.0, 0.0, 0.0 // mean: of a leg, by its beginning
	if l.flow.rateWK > leastRateWK && !c.Store.fitted() {
		enters := &l.coilBottom
		if forward {
			enters = &l.coilTop
		}
		excessK = l.coilInC - enters.tempC(t)
		units := c.CoilUAWK / l.flow.rateWK / coilLegs
		decay, mean = math.Exp(-units), 1
		if units > 0 {
			mean = -math.Expm1(-units) / units
		}
	}
	for j := range coilLegs {
		leg := j // the coil's legs lie bottom up
		if forward {
			leg = coilLegs - 1 - j
		}
		legs[n] = physics.LoopLeg{RiseM: -coilM / coilLegs, MeanC: l.coilLegs[leg].tempC(t) + mean*excessK}
		excessK *= decay
		n++
	}
	return c.Fluid.DrivingPressurePa(legs[:n])
}

// frictionPa is the pressure lost by a flow in kg/s, with its sign, at the
// temperatures of the pipes and of the coil. Pipes with a bore follow
// physics.PipeFrictionPa, fittings lose their factor times rho v2/2. A plant
// without bores has a resistance that is linear in the flow, scaled from its
// pressure drop at full pump level.
func (c *Config) frictionPa(kgS, hotC, coldC, coilC float64) float64 {
	if c.HotPipe.BoreM == 0 {
		return kgS * c.LoopHeadPa / c.pumpFlowKgS((hotC+coldC)/2)
	}
	pa := c.HotPipe.frictionPa(c.Fluid, kgS, hotC) + c.ColdPipe.frictionPa(c.Fluid, kgS, coldC)
	if c.CoilBoreM > 0 {
		pa += c.Fluid.PipeFrictionPa(kgS, c.CoilBoreM, c.CoilLengthM, coilC)
	}
	return pa
}

func (p *Pipe) frictionPa(f physics.Fluid, kgS, tempC float64) float64 {
	section := math.Pi / 4 * p.BoreM * p.BoreM
	fittings := p.FittingsLoss * kgS * math.Abs(kgS) / (2 * f.DensityKgM3(tempC) * section * section)
	return f.PipeFrictionPa(kgS, p.BoreM, p.LengthM, tempC) + fittings
}

// balance is a solved balance of drive and friction.
type balance struct {
	drivePa, aroundC, kgS float64
	power                 float64 // of the friction in the flow there: 1 laminar, 2 fittings
}

const (
	// driveStale and balanceStaleK are how far drive (as a share) and mean
	// temperature may move before the balance is solved anew. Up to there the flow
	// follows the drive by the friction's power, straight: off by less than 0.01 %, where the flow turns turbulent by 0.1 %.
	driveStale    = 0.02
	balanceStaleK = 0.2
	// balanceClose is how closely the friction must meet the drive.
	balanceClose = 1e-5
	// leastDrivePa is below what a column of a millimetre weighs by a
	// temperature difference one could measure.
	leastDrivePa = 1e-4
)

// flowKgS is the steady flow at which friction equals the drive.
func (b *balance) flowKgS(c *Config, drivePa, hotC, coldC, coilC float64) float64 {
	size, meanC := math.Abs(drivePa), (hotC+coldC)/2
	if size < leastDrivePa {
		return 0
	}
	if b.kgS == 0 || math.Abs(size-b.drivePa) > driveStale*b.drivePa || math.Abs(meanC-b.aroundC) > balanceStaleK {
		b.solve(c, size, hotC, coldC, coilC)
		b.aroundC = meanC
	}
	kgS := b.kgS * (1 + (size-b.drivePa)/(b.drivePa*b.power))
	return math.Copysign(kgS, drivePa)
}

// solve finds the flow for a drive. The friction grows as a power of the flow
// that changes slowly, so a secant in logarithms finds it in a few rounds, from
// the last flow on.
func (b *balance) solve(c *Config, drivePa, hotC, coldC, coilC float64) {
	if b.kgS == 0 {
		b.kgS, b.power = 0.01, 1.5
	}
	b.drivePa = drivePa
	lastLogKgS, lastLogPa := 0.0, 0.0
	logKgS := math.Log(b.kgS)
	for round := range 40 {
		logPa := math.Log(c.frictionPa(math.Exp(logKgS), hotC, coldC, coilC) / drivePa)
		if round > 0 && logKgS != lastLogKgS {
			b.power = clamp((logPa-lastLogPa)/(logKgS-lastLogKgS), 0.9, 3)
		}
		if math.Abs(logPa) < balanceClose {
			break
		}
		lastLogKgS, lastLogPa = logKgS, logPa
		logKgS -= logPa / b.power
	}
	b.kgS = math.Exp(logKgS)
}
