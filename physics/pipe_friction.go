package physics

import "math"

const (
	laminarBelow   = 2300
	turbulentAbove = 4000
)

// Reynolds is the Reynolds number of a mass flow in kg/s through a round pipe
// of the given inner diameter in m, at the temperature in degC. In a pipe without
// a bore it is +Inf for any flow.
//
// Source: its definition; error that of the viscosity.
func (f Fluid) Reynolds(flowKgS, innerM, tempC float64) float64 {
	if flowKgS == 0 {
		return 0
	}
	return 4 * math.Abs(flowKgS) / (math.Pi * notNegative(innerM) * f.ViscosityPaS(tempC))
}

// PipeFrictionPa is the pressure lost in Pa by a mass flow in kg/s in a smooth
// straight round pipe, inner diameter and length in m. It has the sign of the
// flow.
//
// Source: Darcy-Weisbach with 64/Re below 2300 (Hagen-Poiseuille) and
// 0.3164 Re^-0.25 above 4000 (Blasius), a straight line between, where real
// flow is unsteady. Range: Reynolds numbers to 100 000; above, Blasius goes on
// and reads some percent low. Fittings come on top. A pipe without a bore lets
// nothing through: infinite for any flow; a length below zero counts as none.
func (f Fluid) PipeFrictionPa(flowKgS, innerM, lengthM, tempC float64) float64 {
	reynolds := f.Reynolds(flowKgS, innerM, tempC)
	if reynolds == 0 {
		return 0
	}
	if !(innerM > 0) {
		return math.Copysign(math.Inf(1), flowKgS)
	}
	section := math.Pi / 4 * innerM * innerM
	dynamic := flowKgS * math.Abs(flowKgS) / (2 * f.DensityKgM3(tempC) * section * section)
	return frictionFactor(reynolds) * notNegative(lengthM) / innerM * dynamic
}

func frictionFactor(reynolds float64) float64 {
	switch {
	case reynolds <= laminarBelow:
		return 64 / reynolds
	case reynolds >= turbulentAbove:
		return 0.3164 / math.Sqrt(math.Sqrt(reynolds))
	}
	share := (reynolds - laminarBelow) / (turbulentAbove - laminarBelow)
	return frictionFactor(laminarBelow)*(1-share) + frictionFactor(turbulentAbove)*share
}
