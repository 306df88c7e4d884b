package physics

import "math"

// PipeLossWMK is the heat an insulated round pipe loses per metre and kelvin
// in W/(m K): 2 pi/(ln(D/d)/lambda + 2/(h D)). outerM is the pipe's outer
// diameter and insulationM the thickness of the insulation in m (zero for a
// bare pipe), insulationWmK its conductivity (0.035 to 0.040 for usual foams,
// common practice, no source), surfaceWM2K the film outside (about 10 indoors,
// common practice, no source). All but insulationM above zero.
//
// Source: Fourier's law in the cylinder, any heat-transfer textbook. The metal
// and the film inside are left out: below 2 %.
func PipeLossWMK(outerM, insulationM, insulationWmK, surfaceWM2K float64) float64 {
	outside := outerM + 2*math.Max(insulationM, 0)
	return 2 * math.Pi / (math.Log(outside/outerM)/insulationWmK + 2/(surfaceWM2K*outside))
}

// PipeOutletC is the temperature in degC at the end of a pipe that loses
// lossWMK W/(m K) over lengthM to surroundings at ambientC, at the capacity
// rate in W/K: Ta + (Tin - Ta) exp(-U L/(m cp)). Without flow it is ambientC,
// where a still pipe ends in the long run.
func PipeOutletC(inletC, ambientC, lossWMK, lengthM, capacityRateWK float64) float64 {
	if !(capacityRateWK > 0) {
		return ambientC
	}
	return ambientC + (inletC-ambientC)*math.Exp(-lossWMK*lengthM/capacityRateWK)
}

// CirculationDropK is by how many kelvin the water cools around a hot-water
// circulation that loses lossWM watt per metre: q L/(m cp), capacity rate in
// W/K above zero. It is the straight-line form of PipeOutletC, good for drops
// that are small against the difference to the room.
func CirculationDropK(lossWM, lengthM, capacityRateWK float64) float64 {
	return lossWM * lengthM / capacityRateWK
}

// PipeContentLitre is the content in litres of a round pipe, inner diameter
// and length in m.
func PipeContentLitre(innerM, lengthM float64) float64 {
	return math.Pi / 4 * innerM * innerM * lengthM * 1000
}

// PipeDelayS is the time in seconds that the content of a pipe needs to pass
// at a flow in litres per minute: how long one waits for hot water at the tap,
// or the fluid's way from collector to tank. +Inf without flow. The pipe's
// metal, which makes the wait longer, is left out.
func PipeDelayS(contentLitre, litrePerMinute float64) float64 {
	if !(litrePerMinute > 0) {
		return math.Inf(1)
	}
	return 60 * contentLitre / litrePerMinute
}

// CooledC is the temperature in degC of a still body after a time:
// Ta + (T0 - Ta) exp(-t/tau), t and tau in the same unit, tau above zero.
//
// Source: Newton's law of cooling.
func CooledC(startC, ambientC, elapsed, timeConstant float64) float64 {
	return ambientC + (startC-ambientC)*math.Exp(-elapsed/timeConstant)
}
