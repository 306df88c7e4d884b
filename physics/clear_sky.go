package physics

import "math"

// AirMass is the relative optical air mass: the path of the beam through the
// air by that from the zenith, for an apparent zenith angle in degrees. Beyond
// 90 degrees it is clamped to the value at 90, about 38.
//
// Source: Kasten and Young (1989). Error below 0.5 % at 86 degrees and less
// above. Multiply by pressure/101325 for the absolute air mass.
func AirMass(apparentZenithDeg float64) float64 {
	zenith := clamp(math.Abs(apparentZenithDeg), 0, 90)
	return 1 / (cosDeg(zenith) + 0.50572*math.Pow(96.07995-zenith, -1.6364))
}

// ClearSkyHaurwitzWM2 is the global irradiance in W/m2 on the level under a
// clear sky, for an apparent elevation in degrees. It is zero at and below the
// horizon. It knows nothing of haze or height: error about 10 %.
//
// Source: Haurwitz (1945), in the form 1098 cos z exp(-0.059/cos z).
func ClearSkyHaurwitzWM2(apparentElevationDeg float64) float64 {
	cosZenith := sinDeg(apparentElevationDeg)
	if !(cosZenith > 0) {
		return 0
	}
	return 1098 * cosZenith * math.Exp(-0.059/cosZenith)
}

// ClearSkyIneichen is the light of a clear sky by haze and height. The
// apparent zenith is in degrees; absoluteAirMass is AirMass times pressure by
// 101325 Pa; the Linke turbidity runs from 2 (clear mountain air) over 3 (clean
// country) to 7 (city haze) and is clamped to 1..10; the altitude is in m,
// clamped to -100..2000; extraterrestrialNormalWM2 is in W/m2. With the sun at
// or below the horizon all is zero.
//
// Source: Ineichen and Perez, Solar Energy 73 (2002), without the brightening
// term of later implementations. Root-mean-square error against stations about
// 5 % when the turbidity is known. The stations lie below some 1600 m (from
// memory), and at 4000 m the terms in the altitude would let 98 % of a high sun
// through, where clean thin air lets some 87 % (from memory): above 2000 m the
// air mass alone follows the height.
func ClearSkyIneichen(apparentZenithDeg, absoluteAirMass, linkeTurbidity, altitudeM, extraterrestrialNormalWM2 float64) Irradiance {
	cosZenith := cosDeg(apparentZenithDeg)
	if !(cosZenith > 1e-9) || !(extraterrestrialNormalWM2 > 0) {
		return Irradiance{}
	}
	turbidity, altitude := clamp(linkeTurbidity, 1, 10), clamp(altitudeM, -100, 2000)
	airMass := math.Max(absoluteAirMass, 0)
	high, higher := math.Exp(-altitude/8000), math.Exp(-altitude/1250)

	dimming := (3.92e-5*altitude + 0.0387) * airMass * (high + higher*(turbidity-1))
	global := (5.09e-5*altitude + 0.868) * extraterrestrialNormalWM2 * cosZenith * math.Exp(-dimming)

	beam := extraterrestrialNormalWM2 * (0.664 + 0.163/high) * math.Exp(-0.09*airMass*(turbidity-1))
	mostBeam := global * (1 - (0.1-0.2*math.Exp(-turbidity))/(0.1+0.882/high)) / cosZenith
	beam = math.Max(math.Min(beam, mostBeam), 0)
	return Irradiance{
		GlobalHorizontalWM2:  global,
		BeamNormalWM2:        beam,
		DiffuseHorizontalWM2: math.Max(global-beam*cosZenith, 0),
	}
}
