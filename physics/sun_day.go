package physics

import (
	"math"
	"time"
)

// SunDayKind says whether the sun crosses the horizon on a day.
type SunDayKind int

// The kinds of day.
const (
	SunRisesAndSets SunDayKind = iota
	SunAlwaysUp
	SunNeverUp
)

// String is the kind in plain words.
func (k SunDayKind) String() string {
	switch k {
	case SunAlwaysUp:
		return "the sun stays up"
	case SunNeverUp:
		return "the sun stays down"
	}
	return "the sun rises and sets"
}

// SunDay holds the times of one solar day in UTC.
type SunDay struct {
	Kind SunDayKind
	// Noon is when the sun crosses the meridian.
	Noon time.Time
	// NoonElevationDeg is the true elevation then, in degrees.
	NoonElevationDeg float64
	// Sunrise and Sunset are zero unless Kind is SunRisesAndSets.
	Sunrise, Sunset time.Time
}

const (
	// horizonRefractionDeg is the almanacs' refraction at the horizon: 34 minutes
	// of arc (Explanatory Supplement to the Astronomical Almanac, from memory).
	horizonRefractionDeg = 34.0 / 60
	// sunRadiusDeg is the sun's radius seen from 1 astronomical unit: 959.63
	// seconds of arc (Auwers 1891, as the almanacs have it, from memory).
	sunRadiusDeg = 959.63 / 3600
)

// SunDayOn gives noon, sunrise and sunset of a calendar date at a place
// (latitude and longitude in degrees, as for SunAt). The date counts in local
// mean solar time, so noon lies within 17 minutes of twelve of that clock. Only
// year, month and day are used. The sun rises and sets when its upper limb
// touches the horizon with 34 minutes of arc of refraction (almanac
// convention; see the constants): some 50 minutes below it by its centre. On days when the sun only just grazes the horizon, near the
// polar circles, a crossing far from midnight may be missed by a few minutes.
//
// Error below 5 s against an ephemeris between the polar circles; real
// refraction makes the observed time uncertain by minutes.
func SunDayOn(year int, month time.Month, day int, latitudeDeg, longitudeDeg float64) SunDay {
	longitude := longitudeDeg
	if math.Abs(longitude) > 180 {
		longitude = wrapDeg180(longitude)
	}
	start := time.Date(year, month, day, 12, 0, 0, 0, time.UTC).Add(hours(-longitude / 15))
	noon := start
	for range 3 {
		noon = noon.Add(hours(-SunAt(noon, latitudeDeg, longitude).HourAngleDeg / 15))
	}
	result := SunDay{Noon: noon, NoonElevationDeg: SunAt(noon, latitudeDeg, longitude).ElevationDeg}
	above := func(t time.Time) float64 {
		sun := SunAt(t, latitudeDeg, longitude)
		return sun.ElevationDeg + horizonRefractionDeg + sunRadiusDeg/sun.DistanceAU
	}
	before, after := noon.Add(-12*time.Hour), noon.Add(12*time.Hour)
	switch {
	case above(noon) <= 0:
		result.Kind = SunNeverUp
	case above(before) >= 0 || above(after) >= 0:
		result.Kind = SunAlwaysUp
	default:
		result.Sunrise = horizonCrossing(before, noon, above)
		result.Sunset = horizonCrossing(after, noon, above)
	}
	return result
}

// horizonCrossing halves the span between a time with the sun down and one
// with the sun up until it is shorter than a tenth of a second.
func horizonCrossing(down, up time.Time, above func(time.Time) float64) time.Time {
	for math.Abs(float64(up.Sub(down))) > float64(time.Second/10) {
		middle := down.Add(up.Sub(down) / 2)
		if above(middle) > 0 {
			up = middle
		} else {
			down = middle
		}
	}
	return up
}

func hours(h float64) time.Duration { return time.Duration(h * float64(time.Hour)) }
