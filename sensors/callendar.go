package sensors

import (
	"fmt"
	"math"
)

// Coefficients of the industrial platinum curve: IEC 60751:2008, read in two
// public reproductions. At or above 0 °C R = R0 (1 + A t + B t²), below
// R = R0 (1 + A t + B t² + C (t - 100) t³).
const (
	platinumA = 3.9083e-3  // 1/K
	platinumB = -5.775e-7  // 1/K²
	platinumC = -4.183e-12 // 1/K⁴

	platinumLowestC  = -200.0 // range of the standard's curve
	platinumHighestC = 850.0
)

// PlatinumOhm is the resistance in Ω of a platinum element with ohm0 at 0 °C
// (100 or 1000) at tempC, by the Callendar-Van Dusen equation. Out of the
// standard's range of -200 to 850 °C it is not-a-number.
func PlatinumOhm(tempC, ohm0 float64) float64 {
	if !(tempC >= platinumLowestC && tempC <= platinumHighestC) {
		return math.NaN()
	}
	return ohm0 * platinumRatio(tempC)
}

func platinumRatio(tempC float64) float64 {
	ratio := 1 + tempC*(platinumA+tempC*platinumB)
	if tempC < 0 {
		ratio += platinumC * (tempC - 100) * tempC * tempC * tempC
	}
	return ratio
}

// PlatinumC is the temperature in °C of a platinum element with ohm0 at 0 °C
// that has the given resistance in Ω; the inverse of PlatinumOhm to better than
// a millionth of a kelvin. The error says when the resistance belongs to no
// temperature of the standard's range.
func PlatinumC(ohm, ohm0 float64) (float64, error) {
	ratio := ohm / ohm0
	if !(ratio >= platinumRatio(platinumLowestC) && ratio <= platinumRatio(platinumHighestC)) {
		return math.NaN(), fmt.Errorf("%.4g Ω is no resistance of a platinum element with %g Ω at 0 °C between %g and %g °C", ohm, ohm0, platinumLowestC, platinumHighestC)
	}
	tempC := (-platinumA + math.Sqrt(platinumA*platinumA-4*platinumB*(1-ratio))) / (2 * platinumB)
	if ratio >= 1 {
		return tempC, nil
	}
	// Below 0 °C there is no closed form. The square root is off by 2.4 K at
	// most there, from where Newton's steps double the correct figures.
	for range 4 {
		slope := platinumA + 2*platinumB*tempC + platinumC*(4*tempC-300)*tempC*tempC
		tempC -= (platinumRatio(tempC) - ratio) / slope
	}
	return tempC, nil
}
