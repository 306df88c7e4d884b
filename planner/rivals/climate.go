package rivals

import (
	"fmt"
	"math"
	"time"

	"sunstoker/sim/noise"
	"sunstoker/sim/weather"
)

// climate is a place with its weather.
type climate struct {
	name  string
	place weather.Place
	zone  string
	// typical is an open typical year; nil for generated weather.
	typical func() *weather.Hourly
	// What the generated weather is like. The figures are round ones of such
	// places, from memory of published climate normals and solar maps.
	meanAirC, seasonSwingK, daySwingK, coldestNightC, yearLightKWhM2, persistence float64
	tiltDeg, azimuthDeg                                                           float64
	roomC                                                                         float64
}

var (
	northItaly = climate{name: "north Italy, typical year", typical: weather.NorthItaly, zone: "Europe/Rome",
		place: weather.Place{LatitudeDeg: 45, LongitudeDeg: 8, AltitudeM: 250}, coldestNightC: -12, tiltDeg: 45, azimuthDeg: 190, roomC: 18}
	greensboro = climate{name: "Greensboro, typical year", typical: weather.Greensboro, zone: "America/New_York",
		place: weather.Place{LatitudeDeg: 36.1, LongitudeDeg: -79.95, AltitudeM: 273}, coldestNightC: -14, tiltDeg: 40, azimuthDeg: 175, roomC: 20}
	highland = climate{name: "equatorial highland", zone: "Africa/Nairobi",
		place:    weather.Place{LatitudeDeg: -0.5, LongitudeDeg: 36.5, AltitudeM: 1900},
		meanAirC: 17.5, seasonSwingK: 3, daySwingK: 12, coldestNightC: 6, yearLightKWhM2: 1850, persistence: 0.35, tiltDeg: 12, azimuthDeg: 0, roomC: 20}
	mediterranean = climate{name: "Mediterranean", zone: "Europe/Athens",
		place:    weather.Place{LatitudeDeg: 37.5, LongitudeDeg: 23.5, AltitudeM: 60},
		meanAirC: 18, seasonSwingK: 18, daySwingK: 9, coldestNightC: 0, yearLightKWhM2: 1730, persistence: 0.4, tiltDeg: 40, azimuthDeg: 180, roomC: 20}
	continental = climate{name: "continental with frost", zone: "Europe/Warsaw",
		place:    weather.Place{LatitudeDeg: 50, LongitudeDeg: 20, AltitudeM: 300},
		meanAirC: 8.5, seasonSwingK: 22, daySwingK: 9, coldestNightC: -20, yearLightKWhM2: 1100, persistence: 0.45, tiltDeg: 45, azimuthDeg: 180, roomC: 16}
	maritime = climate{name: "maritime", zone: "Europe/Dublin",
		place:    weather.Place{LatitudeDeg: 53, LongitudeDeg: -7, AltitudeM: 70},
		meanAirC: 10, seasonSwingK: 10, daySwingK: 6, coldestNightC: -6, yearLightKWhM2: 980, persistence: 0.3, tiltDeg: 45, azimuthDeg: 200, roomC: 18}
	desert = climate{name: "desert", zone: "Africa/Cairo",
		place:    weather.Place{LatitudeDeg: 26, LongitudeDeg: 31.7, AltitudeM: 80},
		meanAirC: 24, seasonSwingK: 18, daySwingK: 15, coldestNightC: 2, yearLightKWhM2: 2150, persistence: 0.6, tiltDeg: 30, azimuthDeg: 180, roomC: 26}
	north = climate{name: "high latitude", zone: "Europe/Helsinki",
		place:    weather.Place{LatitudeDeg: 60.5, LongitudeDeg: 24, AltitudeM: 60},
		meanAirC: 5.5, seasonSwingK: 23, daySwingK: 8, coldestNightC: -26, yearLightKWhM2: 960, persistence: 0.45, tiltDeg: 55, azimuthDeg: 180, roomC: 18}
)

// year makes the weather of one year, and of the weeks before it. A typical
// year comes as it was published with seed 0, else with its days put into
// another order.
func (c *climate) year(seed uint64) (weather.Source, error) {
	if c.typical != nil {
		if seed == 0 {
			return c.typical(), nil
		}
		return &reordered{Hourly: c.typical(), seed: seed}, nil
	}
	kind := weather.UsualClimate(c.place)
	kind.MeanAirC, kind.SeasonSwingK, kind.DaySwingK = c.meanAirC, c.seasonSwingK, c.daySwingK
	kind.ColdestNightC, kind.YearLightKWhM2, kind.Persistence = c.coldestNightC, c.yearLightKWhM2, c.persistence
	w, err := weather.Generate(c.place, kind, weather.SeedsFrom(seed), time.Date(2025, time.November, 1, 0, 0, 0, 0, time.UTC), 430)
	if err != nil {
		return nil, fmt.Errorf("rivals: weather of %s: %w", c.name, err)
	}
	return w, nil
}

// Days of a typical year change places in blocks, over so many days at most.
const (
	blockDays    = 4
	furthestDays = 10
)

// reordered is a typical year whose days come in another order: each block of
// days takes the weather of a block that begins up to ten days earlier or later.
// Weather stays in its season and keeps what follows from day to day within a
// block. The sun's height is that of the day the weather was taken from, which
// is off by at most 4 degrees at the equinoxes.
type reordered struct {
	*weather.Hourly
	seed uint64
}

// At implements weather.Source.
func (r *reordered) At(utc time.Time) weather.Sample {
	night := time.Duration(r.Place().LongitudeDeg / 15 * float64(time.Hour)) // blocks change at solar midnight
	block := math.Floor(float64(utc.Add(night).Unix()) / 86400 / blockDays)
	stream := noise.NewStream(noise.DeriveN(r.seed, int64(block)))
	days := math.Floor(stream.Between(-furthestDays, furthestDays+1))
	return r.Hourly.At(utc.AddDate(0, 0, int(days)))
}
