package physics

import "time"

const (
	secondsPerDay     = 86400
	daysPerCentury    = 36525
	unixAtJ2000       = 946728000 // 1 January 2000, 12:00 UTC
	julianDateAtJ2000 = 2451545
)

// daysSinceJ2000 counts days of universal time. UTC stands in for UT1; the two
// differ by less than 0.9 s, which turns the sky by less than 0.004 degrees.
func daysSinceJ2000(t time.Time) float64 {
	return (float64(t.Unix()-unixAtJ2000) + float64(t.Nanosecond())*1e-9) / secondsPerDay
}

// JulianDate is the Julian date of an instant in universal time, to some 40
// microseconds, the resolution of the number; exact by definition (Meeus, chapter 7).
func JulianDate(t time.Time) float64 { return julianDateAtJ2000 + daysSinceJ2000(t) }

// deltaTSeconds is terrestrial minus universal time in seconds, a parabola
// through 29 s in 1950, 64 s in 2000 and 69 s in 2020 (from memory), level
// outside 1950 to 2050. An error of 10 s moves the sun by 0.0001 degrees.
func deltaTSeconds(centuries float64) float64 {
	years := clamp(100*centuries, -50, 50)
	return 63.8 + 0.373*years - 0.0064*years*years
}

// siderealDeg is Greenwich mean sidereal time in degrees.
//
// Source: Meeus, Astronomical Algorithms, eq. 12.4.
func siderealDeg(days float64) float64 {
	centuries := days / daysPerCentury
	return wrapDeg360(280.46061837 + 360.98564736629*days +
		centuries*centuries*(0.000387933-centuries/38710000))
}
