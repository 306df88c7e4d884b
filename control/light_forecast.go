package control

import (
	"math"
	"time"

	"sunstoker/physics"
)

// LightHours is how many hours a [LightForecast] has room for: a week, and the day
// that it was made on.
const LightHours = 8 * 24

// LightForecast is the light that somebody else foretells for the place, hour by
// hour. The controller believes it as far as it has proved right on this plant.
type LightForecast struct {
	Made time.Time           // when it was made
	From time.Time           // begin of its first hour
	WM2  [LightHours]float64 // mean light of each hour, W/m²; below 0 where nothing is said
	// OnCollectors says that the figures hold for the plane of the collectors; else
	// they hold for level ground.
	OnCollectors bool
}

const (
	// ForecastLasts is the age at which a forecast tells no more than the plant's own
	// days, and is put aside. Common practice, no source.
	ForecastLasts = 48 * time.Hour
	// forecastEarly is how far a forecast's clock may be ahead of the board's.
	forecastEarly = time.Hour
	// mostOfClear bounds the light of an hour by that of a simple clear sky, which high
	// places and bright clouds surpass.
	mostOfClear = 1.3
	// untold is the light of an hour that nothing is said of.
	untold = -1
)

// Foretell hands over a forecast of the light; it stands until the next one. The
// zero value takes it back. It is spread over the collectors within a minute.
func (c *Controller) Foretell(l *LightForecast) { c.light, c.lightNew = *l, true }

// spreadLight works out what the forecast sends on each system's collectors.
func (c *Controller) spreadLight() {
	c.lightNew = false
	for i := range c.systems {
		s := &c.systems[i]
		if !s.learns {
			continue
		}
		for hour := range LightHours {
			middle := c.light.From.Add(time.Duration(hour)*time.Hour + 30*time.Minute)
			sun := physics.SunAt(middle, c.plan.LatitudeDeg, c.plan.LongitudeDeg)
			s.toldKW[hour] = c.light.beyondWarming(hour, sun, s.plan.Plane)
		}
	}
}

// beyondWarming is the foretold light of an hour on a plane beyond what warms the
// collector, kW/m², or untold. Where the sun does not shine there is none, whatever
// is said.
func (l *LightForecast) beyondWarming(hour int, sun physics.SunPosition, plane physics.Plane) float64 {
	light, clear := l.WM2[hour], clearOnPlaneWM2(sun, plane)
	switch {
	case clear <= 0:
		return 0
	case !(light >= 0):
		return untold
	case !l.OnCollectors:
		light = onPlaneWM2(light, sun, plane)
	}
	return max(0, min(light, mostOfClear*clear)-warmingWM2) / 1000
}

// lightCounts tells whether there is a forecast that is young enough.
func (c *Controller) lightCounts() bool {
	age := c.wall.Sub(c.light.Made)
	return c.clockSet && !c.lightNew && !c.light.From.IsZero() && age >= -forecastEarly && age <= ForecastLasts
}

// toldAt is the foretold light at a span from now on a system's collectors, beyond
// what warms them, kW/m².
func (c *Controller) toldAt(s *system, ahead time.Duration) (kW float64, known bool) {
	hour := int(math.Floor(c.wall.Add(ahead).Sub(c.light.From).Hours()))
	if hour < 0 || hour >= LightHours || s.toldKW[hour] == untold {
		return 0, false
	}
	return s.toldKW[hour], true
}

// toldToday is the foretold light on a system's collectors from now to midnight,
// kWh/m²; known is false when a part of it is not foretold.
func (c *Controller) toldToday(s *system) (kWhM2 float64, known bool) {
	if !c.lightCounts() {
		return 0, false
	}
	for ahead := 0; c.minute+ahead < dayMinutes; ahead += outlookMins {
		kW, known := c.toldAt(s, time.Duration(ahead)*time.Minute+outlookStep/2)
		if !known {
			return 0, false
		}
		kWhM2 += kW * outlookHours
	}
	return kWhM2, true
}
