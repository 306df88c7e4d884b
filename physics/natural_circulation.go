package physics

import "math"

// LoopLeg is a stretch of a loop in the direction of wanted flow.
type LoopLeg struct {
	// RiseM is how far the leg climbs in m, negative when it falls. The rises
	// of a whole loop add up to zero.
	RiseM float64
	// MeanC is its mean temperature in degC.
	MeanC float64
}

// CirculationPressurePaPerM is the circulating pressure in Pa per metre of
// height between a cold and a hot column, temperatures in degC: g (rho cold -
// rho hot). Negative when the "hot" one is the colder. Temperatures beyond the
// fluid's range are clamped.
//
// Source: the hydrostatic equation; handbooks of gravity heating tabulate it
// for water, rounded, within 3.5 Pa/m.
func (f Fluid) CirculationPressurePaPerM(coldC, hotC float64) float64 {
	return GravityMS2 * (f.DensityKgM3(coldC) - f.DensityKgM3(hotC))
}

// DrivingPressurePa is the pressure in Pa that drives natural circulation
// around a loop: minus the closed integral of rho g dz. A negative result
// means reverse circulation, which a check valve or the layout must stop.
// Temperatures beyond the fluid's range are clamped.
//
// Source: the hydrostatic equation; exact for legs of one temperature, and of an even
// rise but for the bend of the density, see CollectorDrivingPressurePa.
func (f Fluid) DrivingPressurePa(legs []LoopLeg) float64 {
	pressure := 0.0
	for _, leg := range legs {
		pressure -= GravityMS2 * f.DensityKgM3(leg.MeanC) * leg.RiseM
	}
	return pressure
}

// CollectorDrivingPressurePa is the driving pressure in Pa for the plain case:
// a collector of height collectorM in which the fluid warms evenly from coldC
// to hotC, then pipesM of hot riser up to the tank, beside a cold return of
// the same height.
//
// Source: DrivingPressurePa for that case. The density in the collector is taken as
// the mean of its ends. Water bends
// away from that: the result is 3 % high from 30 to 50 degC, 10 % from 10 to 50
// and 13 % from 5 to 25. Cut the collector into legs for DrivingPressurePa
// where that matters.
func (f Fluid) CollectorDrivingPressurePa(collectorM, pipesM, coldC, hotC float64) float64 {
	return f.CirculationPressurePaPerM(coldC, hotC) * (pipesM + collectorM/2)
}

// FlowAtFixedLoss is the flow speed in m/s at which the driving pressure of a
// heat in W equals a loss of resistance rho v2/2: the cube root of
// 2 beta g H Q/(rho A cp K). expansionPerK is beta in 1/K, heightM the
// effective height, crossSectionM2 that of the pipe, densityKgM3 and
// specificHeatJKgK of the fluid, resistance the sum of loss factors. Heat or
// height of zero or less give no flow; a fluid, pipe or resistance of zero or less is
// none and gives no flow either.
//
// Source: the balance above, as printed on a public engineering page on
// gravity heating (read). It holds for turbulent flow and fittings; in laminar
// pipes the mass flow grows with the square root of the heat instead.
func FlowAtFixedLoss(expansionPerK, heightM, heatW, densityKgM3, crossSectionM2, specificHeatJKgK, resistance float64) float64 {
	drive := 2 * expansionPerK * GravityMS2 * heightM * heatW
	against := densityKgM3 * crossSectionM2 * specificHeatJKgK * resistance
	if !(drive > 0) || !(against > 0) {
		return 0
	}
	return math.Cbrt(drive / against)
}

// LaminarFlowKgS is the mass flow in kg/s at which the driving pressure equals
// a loss that grows linearly with the flow: sqrt(beta rho g H Q/(cp R)), with
// linearResistance R in Pa per kg/s. Heat or height of zero or less give none, as do
// a fluid or resistance of zero or less.
//
// Source: the same balance with Hagen-Poiseuille's loss in place of the fittings';
// exact where the flow is laminar and the resistance that of its viscosity.
func LaminarFlowKgS(expansionPerK, heightM, heatW, densityKgM3, specificHeatJKgK, linearResistance float64) float64 {
	drive := expansionPerK * densityKgM3 * GravityMS2 * heightM * heatW
	against := specificHeatJKgK * linearResistance
	if !(drive > 0) || !(against > 0) {
		return 0
	}
	return math.Sqrt(drive / against)
}
