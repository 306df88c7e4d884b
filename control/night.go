package control

import (
	"math"
	"time"

	"sunstoker/physics"
)

// darkDeg is where the sun stands when it is surely dark: at the end of civil
// twilight. It stays so up to the same height in the morning.
const darkDeg = -6

// sunPeriod is how often the sun's height is worked out: it moves by up to
// 2.5° in that time.
const sunPeriod = 10 * time.Minute

// darkAfter is how long it has been dark, and the loop at rest, when a collector
// has come down to the air. Common practice, no source.
const darkAfter = 2 * time.Hour

// midnightDeg is how far from solar midnight the sun's lowest hour begins and
// ends: an hour, in degrees of its turn.
const midnightDeg = 15

// sky is where the sun stands: the house's only notion of day and night. It
// follows from the clock and the place alone. While the clock is not set nothing
// is known, and nothing is called dark: by the sun's light a night can be
// mistaken for a day without harm, and not the other way.
type sky struct {
	known    bool
	sun      physics.SunPosition
	dark     bool // no sun warms the roof
	longDark bool // nor has it for darkAfter
	lowest   bool // it is within an hour of solar midnight, also where the sun does not set
}

// lookUp works out the sky once in sunPeriod of the wall clock.
func (c *Controller) lookUp(wall Wall) {
	if !wall.Trusted {
		c.sky, c.skyOf = sky{}, never
		return
	}
	period, _ := floorDiv(wall.Time.Unix(), int64(sunPeriod/time.Second))
	if period == c.skyOf {
		return
	}
	c.skyOf = period
	c.sky = skyAt(time.Unix(period*int64(sunPeriod/time.Second), 0).Add(sunPeriod/2), c.plan.LatitudeDeg, c.plan.LongitudeDeg)
}

func skyAt(at time.Time, latitudeDeg, longitudeDeg float64) sky {
	sun := physics.SunAt(at, latitudeDeg, longitudeDeg)
	before := physics.SunAt(at.Add(-darkAfter), latitudeDeg, longitudeDeg)
	dark := sun.ElevationDeg < darkDeg
	return sky{
		known: true, sun: sun, dark: dark,
		longDark: dark && before.ElevationDeg < darkDeg,
		lowest:   math.Abs(sun.HourAngleDeg) >= 180-midnightDeg,
	}
}
