package physics

import "math"

// AirPressurePa is the mean pressure of the air in Pa at an altitude in m
// above the sea, clamped to -500..11000 m.
//
// Source: ICAO standard atmosphere, p = 101325 (1 - 2.25577e-5 h)^5.25588.
// The weather moves the real pressure by about 3 %.
func AirPressurePa(altitudeM float64) float64 {
	return StandardPressurePa * math.Pow(1-2.25577e-5*clamp(altitudeM, -500, 11000), 5.25588)
}
