package campaign

import (
	"time"

	"sunstoker/planner"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
)

// A long run is for what shows only when weeks are compared: two months in which
// the program learns what is usual, then the fault. Weather and draws are seeded;
// no day of it is like another.
const (
	seasonLearns = 60 * day
	seasonLasts  = 45 * day
	seasonSeed   = 7
)

var season = Scene{Name: "long spring", starts: "2026-02-15", learns: seasonLearns, strike: 8 * time.Hour, startC: 40,
	people: func() household.Source { return household.People{Persons: 4, LitresAt60: 40, Seed: seasonSeed} }}

// seasonSky is seeded weather of the house's place for all of the long run.
func seasonSky(place weather.Place, start time.Time) (weather.Source, error) {
	const days = int((seasonLearns+seasonLasts+after)/day) + 3
	return weather.Generate(place, weather.UsualClimate(place), weather.SeedsFrom(seasonSeed), start.AddDate(0, 0, -1), days)
}

// seasonTrial is the long run of one switch.
func seasonTrial(h *House, s Switch) Trial {
	s.Lasts = seasonLasts
	t := newTrial(h, &season, s)
	t.Step = planner.LongestStep
	return t
}
