package weather

import (
	"math"
	"time"

	"sunstoker/physics"
)

// hourSun is the sine of the sun's elevation over one hour:
// level + raised cos(hour angle), the declination being that of the hour's
// middle (it moves by at most 0.016 degrees in an hour).
type hourSun struct {
	level, raised float64
	startRad      float64 // hour angle at the start of the hour
}

const hourRad = math.Pi / 12

func hourSunAt(start time.Time, place Place) hourSun {
	middle := physics.SunAt(start.Add(30*time.Minute), place.LatitudeDeg, place.LongitudeDeg)
	sinLat, cosLat := math.Sincos(place.LatitudeDeg * math.Pi / 180)
	sinDec, cosDec := math.Sincos(middle.DeclinationDeg * math.Pi / 180)
	return hourSun{
		level:    sinLat * sinDec,
		raised:   cosLat * cosDec,
		startRad: middle.HourAngleDeg*math.Pi/180 - hourRad/2,
	}
}

// sine is the sine of the elevation at a share of the hour, 0 to 1.
func (h hourSun) sine(into float64) float64 {
	return h.level + h.raised*math.Cos(h.startRad+into*hourRad)
}

// meanSine is the mean over the hour of the sine while the sun is up, zero
// while it is down.
func (h hourSun) meanSine() float64 {
	end := h.startRad + hourRad
	switch {
	case h.startRad < -math.Pi:
		return (h.upTo(h.startRad+2*math.Pi, math.Pi) + h.upTo(-math.Pi, end)) / hourRad
	case end > math.Pi:
		return (h.upTo(h.startRad, math.Pi) + h.upTo(-math.Pi, end-2*math.Pi)) / hourRad
	}
	return h.upTo(h.startRad, end) / hourRad
}

// upTo is the integral of the sine over hour angles within -pi to pi.
func (h hourSun) upTo(from, to float64) float64 {
	if h.level+h.raised <= 0 {
		return 0
	}
	if h.level < h.raised { // the sun sets on this day
		sunset := math.Acos(math.Max(-1, -h.level/h.raised))
		from, to = math.Max(from, -sunset), math.Min(to, sunset)
	}
	if to <= from {
		return 0
	}
	return math.Max(0, h.level*(to-from)+h.raised*(math.Sin(to)-math.Sin(from)))
}
