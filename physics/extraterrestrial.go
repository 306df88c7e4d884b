package physics

import "math"

// SolarConstantWM2 is the mean irradiance outside the air in W/m2, the
// textbook figure (Duffie and Beckman, section 1.2). Newer satellites give
// 1361, 0.4 % less; clear-sky and splitting formulas were fitted to this one.
const SolarConstantWM2 = 1367

// ExtraterrestrialNormalWM2 is the irradiance outside the air on a plane that
// faces the sun, in W/m2, for a day of the year (1 to 366, fractions allowed,
// any other number wraps by the cosine).
//
// Source: Spencer (1971), Duffie and Beckman eq. 1.4.1b. Error 0.01 % in the
// distance.
func ExtraterrestrialNormalWM2(dayOfYear float64) float64 {
	return SolarConstantWM2 * spencerDistanceFactor(dayOfYear)
}

func spencerDistanceFactor(dayOfYear float64) float64 {
	sin1, cos1 := math.Sincos((dayOfYear - 1) * 2 * math.Pi / 365)
	sin2, cos2 := 2*sin1*cos1, cos1*cos1-sin1*sin1
	return 1.000110 + 0.034221*cos1 + 0.001280*sin1 + 0.000719*cos2 + 0.000077*sin2
}

// ExtraterrestrialDailyJM2 is the energy outside the air on a level plane over
// a day, in J/m2, for a latitude and a declination in degrees. In polar night
// it is zero.
//
// Source: Duffie and Beckman, eq. 1.10.3; FAO Irrigation and Drainage Paper
// 56, eq. 21, is the same with a solar constant of 1366.67. Exact for a
// declination that stands still over the day; what it moves cancels between morning and
// afternoon.
func ExtraterrestrialDailyJM2(dayOfYear, latitudeDeg, declinationDeg float64) float64 {
	sunset := SunsetHourAngleDeg(latitudeDeg, declinationDeg)
	return notNegative(extraterrestrialBetween(dayOfYear, latitudeDeg, declinationDeg, -sunset, sunset))
}

// ExtraterrestrialHourlyJM2 is the energy in J/m2 between two hour angles in
// degrees (15 per hour of solar time, 0 at noon). The time the sun is below
// the horizon counts nothing, so that hour angles beyond sunrise and sunset are
// clamped to them; a span that runs backwards gives zero. Latitude and declination
// are clamped as by SunsetHourAngleDeg.
//
// Source: Duffie and Beckman, eq. 1.10.4. Exact but for the distance of the sun.
func ExtraterrestrialHourlyJM2(dayOfYear, latitudeDeg, declinationDeg, fromHourAngleDeg, toHourAngleDeg float64) float64 {
	sunset := SunsetHourAngleDeg(latitudeDeg, declinationDeg)
	from, to := clamp(fromHourAngleDeg, -sunset, sunset), clamp(toHourAngleDeg, -sunset, sunset)
	if !(to > from) {
		return 0
	}
	return notNegative(extraterrestrialBetween(dayOfYear, latitudeDeg, declinationDeg, from, to))
}

func extraterrestrialBetween(dayOfYear, latitudeDeg, declinationDeg, fromDeg, toDeg float64) float64 {
	level := cosDeg(latitudeDeg) * cosDeg(declinationDeg) * (sinDeg(toDeg) - sinDeg(fromDeg))
	raised := sinDeg(latitudeDeg) * sinDeg(declinationDeg) * (toDeg - fromDeg) * radPerDeg
	return secondsPerDay / (2 * math.Pi) * ExtraterrestrialNormalWM2(dayOfYear) * (level + raised)
}
