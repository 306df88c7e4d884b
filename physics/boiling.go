package physics

import "math"

// Coefficients of the saturation line, IAPWS-IF97 (revised release 2007),
// region 4, Table 34.
const (
	sat1  = 0.11670521452767e4
	sat2  = -0.72421316703206e6
	sat3  = -0.17073846940092e2
	sat4  = 0.12020824702470e5
	sat5  = -0.32325550322333e7
	sat6  = 0.14915108613530e2
	sat7  = -0.48232657361591e4
	sat8  = 0.40511340542057e6
	sat9  = -0.23855557567849
	sat10 = 0.65017534844798e3
)

const (
	triplePressurePa   = 611.213
	criticalPressurePa = 22.064e6
	criticalC          = 373.946
)

// WaterBoilingPointC is the temperature in degC at which pure water boils
// under the given absolute pressure in pascal.
//
// Source: IAPWS-IF97, region 4, backward equation. Range 611.213 Pa (0 degC)
// to 22.064 MPa (373.946 degC); a pressure outside is clamped to the nearer
// end. Error below 0.01 K against the full formulation.
func WaterBoilingPointC(pressurePaAbs float64) float64 {
	p := clamp(pressurePaAbs, triplePressurePa, criticalPressurePa)
	beta := math.Sqrt(math.Sqrt(p / 1e6))
	e := beta*beta + sat3*beta + sat6
	f := sat1*beta*beta + sat4*beta + sat7
	g := sat2*beta*beta + sat5*beta + sat8
	d := 2 * g / (-f - math.Sqrt(f*f-4*e*g))
	sum := sat10 + d
	return (sum-math.Sqrt(sum*sum-4*(sat9+sat10*d)))/2 - ZeroCelsiusK
}

// WaterSaturationPressurePa is the absolute pressure in pascal at which pure
// water of the given temperature boils.
//
// Source: IAPWS-IF97, region 4, basic equation. Range 0 to 373.946 degC; a
// temperature outside is clamped to the nearer end. Error below 0.03 % (from memory).
func WaterSaturationPressurePa(tempC float64) float64 {
	tempK := clamp(tempC, 0, criticalC) + ZeroCelsiusK
	theta := tempK + sat9/(tempK-sat10)
	a := theta*theta + sat1*theta + sat2
	b := sat3*theta*theta + sat4*theta + sat5
	c := sat6*theta*theta + sat7*theta + sat8
	root := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return root * root * root * root * 1e6
}
