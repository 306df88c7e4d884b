package site

import (
	"fmt"
	"math"
	"time"
)

const (
	// farFromSunTimeH is how far a zone's standard time may be from the sun's by
	// longitude before place and zone are doubted. Inhabited places stay within
	// about three hours, the far west of China being the furthest (from memory).
	farFromSunTimeH = 3
	// tropicDeg is how far from the equator the sun stands overhead at most.
	tropicDeg = 23.44
)

// checkPlace holds the time zone against the longitude.
func (w *walker) checkPlace() {
	for _, key := range []string{"longitude", "time_zone"} {
		if !w.sound["place."+key] {
			return
		}
	}
	zoneH, sunH := standardOffsetH(w.site.Zone), w.site.LongitudeDeg/15
	// Islands beside the date line may keep the date of the other side.
	if apartH := math.Abs(math.Remainder(zoneH-sunH, 24)); apartH > farFromSunTimeH {
		w.advise("place.time_zone", w.at("place.time_zone"), fmt.Sprintf("clocks of %s are %.1f h from the sun's time at a longitude of %g °: place or time zone are wrong", w.site.TimeZone, apartH, w.site.LongitudeDeg),
			"write the longitude with its sign (east is positive) and the zone of that place")
	}
}

// standardOffsetH is a zone's offset from UTC in hours without summer time.
func standardOffsetH(zone *time.Location) float64 {
	const year = 2026
	_, january := time.Date(year, time.January, 1, 0, 0, 0, 0, zone).Zone()
	_, july := time.Date(year, time.July, 1, 0, 0, 0, 0, zone).Zone()
	return float64(min(january, july)) / 3600
}

// checkDirection finds collectors that turn their back to the equator. Near it,
// and lying nearly flat, they still have the sun square on them in a part of the
// year.
func (c *systemCheck) checkDirection() {
	if !c.solid("collector.direction", "collector.tilt") || !c.sound["place.latitude"] {
		return
	}
	latitude, direction := c.site.LatitudeDeg, c.Collector.DirectionDeg
	half, noon, equator := "northern", "south", 180.0
	if latitude < 0 {
		half, noon, equator = "southern", "north", 0
	}
	if math.Abs(math.Remainder(direction-equator, 360)) <= 90 || math.Abs(latitude)+c.Collector.TiltDeg <= tropicDeg {
		return
	}
	key, at := c.spot("collector.direction")
	c.advise(key, at, fmt.Sprintf("%g ° in the %s half of the earth looks away from the sun, which stands in the %s at noon", direction, half, noon),
		fmt.Sprintf("see whether it is meant so; %g ° looks to the %s, and a latitude in the south is negative", equator, noon))
}
