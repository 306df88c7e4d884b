package physics

import "math"

// The formulas of this file are the textbook ones by day number: good to half
// a degree and a minute, for monthly methods. SunAt is the accurate one.

// DeclinationCooperDeg is the sun's declination in degrees for a day of the
// year, 1 to 366; any other number continues the wave.
//
// Source: Cooper (1969), Duffie and Beckman eq. 1.6.1a. Error below 0.5
// degrees.
func DeclinationCooperDeg(dayOfYear float64) float64 {
	return 23.45 * sinDeg(360*(284+dayOfYear)/365)
}

// EquationOfTimeMin is apparent minus mean solar time in minutes for a day of the
// year, 1 to 366; any other number continues the wave.
//
// Source: Spencer (1971), Duffie and Beckman eq. 1.5.3. Error about half a
// minute.
func EquationOfTimeMin(dayOfYear float64) float64 {
	b := (dayOfYear - 1) * 360 / 365
	return 229.2 * (0.000075 + 0.001868*cosDeg(b) - 0.032077*sinDeg(b) -
		0.014615*cosDeg(2*b) - 0.04089*sinDeg(2*b))
}

// SolarTimeOffsetMin is what to add to zone time, in minutes, for solar time:
// 4 (longitude - zone meridian) + equation of time, longitudes east positive
// in degrees. Leave out daylight-saving time first.
//
// Source: Duffie and Beckman, eq. 1.5.2, with the signs for east positive. Error
// that of EquationOfTimeMin.
func SolarTimeOffsetMin(dayOfYear, longitudeDeg, zoneMeridianDeg float64) float64 {
	return 4*(longitudeDeg-zoneMeridianDeg) + EquationOfTimeMin(dayOfYear)
}

// SunsetHourAngleDeg is the hour angle of sunset in degrees, the disc's centre
// and no refraction: 0 in polar night, 180 in polar day. Latitudes are clamped
// to +-89.999 degrees, declinations to +-23.46, the sun's farthest.
//
// Source: Duffie and Beckman, eq. 1.6.10. The real sunset is later by half the disc
// and the refraction, some 4 minutes at 40 degrees of latitude.
func SunsetHourAngleDeg(latitudeDeg, declinationDeg float64) float64 {
	return acosDeg(-tanDeg(clamp(latitudeDeg, -89.999, 89.999)) * tanDeg(clamp(declinationDeg, -farthestDeg, farthestDeg)))
}

// farthestDeg is how far the sun goes from the equator, with room for Cooper's
// formula.
const farthestDeg = 23.46

// DayLengthHours is the time from sunrise to sunset in hours, 0 to 24, by
// SunsetHourAngleDeg.
//
// Source: Duffie and Beckman, eq. 1.6.11. The real day is longer by half the disc
// and the refraction, some 8 minutes at 40 degrees of latitude.
func DayLengthHours(latitudeDeg, declinationDeg float64) float64 {
	return 2 * SunsetHourAngleDeg(latitudeDeg, declinationDeg) / 15
}

// SunFromHourAngle is the position for a latitude, declination and hour angle
// in degrees, at the mean distance and without parallax.
//
// Source: Duffie and Beckman, eqs. 1.6.5 and 1.6.6, exact. Latitudes are clamped to
// +-90 degrees, hour angles wrap.
func SunFromHourAngle(latitudeDeg, declinationDeg, hourAngleDeg float64) SunPosition {
	sun := fromHourAngle(clamp(latitudeDeg, -90, 90), declinationDeg, wrapDeg180(hourAngleDeg), math.Inf(1))
	sun.DistanceAU = 1
	return sun
}

// BeamRatio is Rb, the beam on the plane by the beam on the level: cosine of
// incidence by cosine of zenith. It is zero when the sun is behind the plane
// or below the horizon; near sunrise the ratio grows without bound, so average
// it over the hour.
//
// Source: Duffie and Beckman, eq. 1.8.1.
func (p Plane) BeamRatio(sun SunPosition) float64 {
	cosZenith := cosDeg(sun.ZenithDeg)
	if cosZenith <= 0 {
		return 0
	}
	return math.Max(p.CosIncidence(sun.ZenithDeg, sun.AzimuthDeg), 0) / cosZenith
}

// MonthMeanDay is the day of the year whose extraterrestrial radiation is
// closest to the month's mean; month 1 to 12, an error otherwise.
//
// Source: Klein (1977), Duffie and Beckman Table 1.6.1; the even months from
// memory.
func MonthMeanDay(month int) (dayOfYear int, err error) {
	if err := checkRange("month", float64(month), 1, 12, ""); err != nil {
		return 0, err
	}
	return [12]int{17, 47, 75, 105, 135, 162, 198, 228, 258, 288, 318, 344}[month-1], nil
}
