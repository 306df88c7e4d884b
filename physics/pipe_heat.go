package physics

import "math"

// PipeLossWMK is the heat an insulated round pipe loses per metre and kelvin
// in W/(m K): 2 pi/(ln(D/d)/lambda + 2/(h D)). outerM is the pipe's outer
// diameter and insulationM the thickness of the insulation in m (zero for a
// bare pipe), insulationWmK its conductivity (0.035 to 0.040 for usual foams,
// common practice, no source), surfaceWM2K the film outside (about 10 indoors,
// common practice, no source). An insulation below zero counts as none; a figure of
// the others that is not above zero is an error.
//
// Source: Fourier's law in the cylinder, any heat-transfer textbook. The metal
// and the film inside are left out: below 2 %.
func PipeLossWMK(outerM, insulationM, insulationWmK, surfaceWM2K float64) (float64, error) {
	err := firstError(
		checkPositive("outer diameter of the pipe", outerM, "m"),
		checkPositive("conductivity of the insulation", insulationWmK, "W/(m K)"),
		checkPositive("heat transfer of the surface", surfaceWM2K, "W/(m2 K)"),
		checkFinite("thickness of the insulation", insulationM, "m"),
	)
	if err != nil {
		return 0, err
	}
	outside := outerM + 2*math.Max(insulationM, 0)
	return 2 * math.Pi / (math.Log(outside/outerM)/insulationWmK + 2/(surfaceWM2K*outside)), nil
}

// PipeOutletC is the temperature in degC at the end of a pipe that loses
// lossWMK W/(m K) over lengthM to surroundings at ambientC, at the capacity
// rate in W/K: Ta + (Tin - Ta) exp(-U L/(m cp)). Without flow it is ambientC,
// where a still pipe ends in the long run. A loss or length below zero counts as
// none.
//
// Source: exact solution of the balance of a short stretch, any heat-transfer
// textbook; conduction along the pipe is left out.
func PipeOutletC(inletC, ambientC, lossWMK, lengthM, capacityRateWK float64) float64 {
	if !(capacityRateWK > 0) {
		return ambientC
	}
	return ambientC + (inletC-ambientC)*math.Exp(-notNegative(lossWMK)*notNegative(lengthM)/capacityRateWK)
}

// CirculationDropK is by how many kelvin the water cools around a hot-water
// circulation that loses lossWM watt per metre: q L/(m cp), capacity rate in
// W/K. It is the straight-line form of PipeOutletC, good for drops that are small
// against the difference to the room: a drop of a tenth of it is 5 % too large.
// Without flow it is +Inf.
//
// Source: the balance of heat.
func CirculationDropK(lossWM, lengthM, capacityRateWK float64) float64 {
	if !(capacityRateWK > 0) {
		return math.Inf(1)
	}
	return lossWM * lengthM / capacityRateWK
}

// PipeContentLitre is the content in litres of a round pipe, inner diameter
// and length in m, by the volume of the cylinder. Figures below zero count as zero.
func PipeContentLitre(innerM, lengthM float64) float64 {
	inner := notNegative(innerM)
	return math.Pi / 4 * inner * inner * notNegative(lengthM) * 1000
}

// PipeDelayS is the time in seconds that the content of a pipe needs to pass
// at a flow in litres per minute: how long one waits for hot water at the tap,
// or the fluid's way from collector to tank, by content over flow. +Inf without
// flow, zero without content. The pipe's metal, which makes the wait longer, is left
// out.
func PipeDelayS(contentLitre, litrePerMinute float64) float64 {
	if !(litrePerMinute > 0) {
		return math.Inf(1)
	}
	return 60 * notNegative(contentLitre) / litrePerMinute
}

// CooledC is the temperature in degC of a still body after a time:
// Ta + (T0 - Ta) exp(-t/tau), t and tau in the same unit. A time below zero counts
// as none; with a constant of zero or less it is at ambientC at once.
//
// Source: Newton's law of cooling; exact for a body of one temperature.
func CooledC(startC, ambientC, elapsed, timeConstant float64) float64 {
	if !(timeConstant > 0) {
		return ambientC
	}
	return ambientC + (startC-ambientC)*math.Exp(-notNegative(elapsed)/timeConstant)
}
