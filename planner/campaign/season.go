package campaign

import (
	"time"

	"sunstoker/planner"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
)

// Long runs are for what shows only when weeks are compared. In the spring there
// are two months in which the program learns what is usual, then the fault; in the
// winter the fault is there from the second day on, as a mistake of the fitter is,
// and nothing sound was learned before it. Weather and draws are seeded; no day is
// like another.
const (
	seasonLearns = 60 * day
	seasonLasts  = 45 * day
	winterLasts  = 100 * day
	seasonSeed   = 7
)

// seasons are the long runs.
var seasons = []Scene{
	{Name: "long spring", starts: "2026-02-15", learns: seasonLearns, lasts: seasonLasts, strike: 8 * time.Hour, startC: 40, people: four},
	{Name: "long winter", starts: "2026-10-20", lasts: winterLasts, strike: 8 * time.Hour, startC: 40, people: four},
}

func four() household.Source { return household.People{Persons: 4, LitresAt60: 40, Seed: seasonSeed} }

// long tells whether the trial is a long run.
func (t *Trial) long() bool { return t.Scene.lasts > 0 }

// lasts tells whether a failure is tried in a long run.
func (f *Failure) lasts(sc *Scene) bool { return f.Slow && (sc.learns > 0 || !f.ByTime) }

// seasonSky is seeded weather of the house's place for all of a long run.
func seasonSky(place weather.Place, start time.Time) (weather.Source, error) {
	const days = int((max(seasonLearns+seasonLasts, winterLasts)+after)/day) + 3
	return weather.Generate(place, weather.UsualClimate(place), weather.SeedsFrom(seasonSeed), start.AddDate(0, 0, -1), days)
}

// seasonTrial is a long run of one switch.
func seasonTrial(h *House, sc *Scene, s Switch) Trial {
	s.Lasts = sc.lasts
	t := newTrial(h, sc, s)
	t.Step = planner.LongestStep
	return t
}
