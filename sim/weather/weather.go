package weather

import (
	"fmt"
	"math"
	"time"

	"sunstoker/physics"
)

// Place is a spot on the earth.
type Place struct {
	LatitudeDeg  float64 // north positive, -90 to 90
	LongitudeDeg float64 // east positive, -180 to 180
	AltitudeM    float64 // above the sea, -500 to 6000
}

// Validate returns an error that names the figure out of range.
func (p Place) Validate() error {
	return checkAll(
		quantity{"latitude of the place", p.LatitudeDeg, -90, 90, "degrees"},
		quantity{"longitude of the place", p.LongitudeDeg, -180, 180, "degrees"},
		quantity{"altitude of the place", p.AltitudeM, -500, 6000, "m"},
	)
}

// quantity is a value with the range it must lie in.
type quantity struct {
	what             string
	value, low, high float64
	unit             string
}

// checkAll returns an error that names the first quantity out of range.
func checkAll(all ...quantity) error {
	for _, q := range all {
		if !(q.value >= q.low && q.value <= q.high) {
			return fmt.Errorf("weather: the %s is %g %s; give a value from %g to %g", q.what, q.value, q.unit, q.low, q.high)
		}
	}
	return nil
}

// Sample is the weather at one instant.
type Sample struct {
	// Irradiance is the light on the level ground, by parts, in W/m2.
	physics.Irradiance
	AirC   float64 // in degC, in the shade
	WindMS float64 // in m/s
	// SkyDropK is how much colder than the air the sky radiates, in K: about 20
	// under a clear night sky, 0 under thick cloud.
	SkyDropK float64
}

// Source is weather at a place for any instant. At is pure: the same instant
// gives the same sample, in any order. The instant must carry UTC.
type Source interface {
	Place() Place
	At(utc time.Time) Sample
}

// clearSkyDropK is by how much a clear sky is colder than the air.
//
// Source: Swinbank (1963), Tsky = 0.0552 Tair^1.5 in kelvin (from memory).
func clearSkyDropK(airC float64) float64 {
	airK := airC + physics.ZeroCelsiusK
	return math.Max(0, airK-0.0552*airK*math.Sqrt(airK))
}

// nominalYear is a year without 29 February. The hours of a weather file
// belong to no real year; they are laid out on this one.
const (
	nominalYear  = 2001
	hoursPerYear = 8760
	yearSeconds  = hoursPerYear * 3600
)

// daysBefore counts the days of the nominal year before each month.
var daysBefore = [13]int{1: 0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334}

// nominalSecond is how far into the nominal year an instant lies, by its month,
// day and time. 29 February repeats 28 February, so a leap year shifts no other
// day.
func nominalSecond(utc time.Time) float64 {
	_, month, day := utc.Date()
	if month == time.February && day == 29 {
		day = 28
	}
	hour, minute, second := utc.Clock()
	days := daysBefore[month] + day - 1
	return float64(((days*24+hour)*60+minute)*60+second) + float64(utc.Nanosecond())*1e-9
}
