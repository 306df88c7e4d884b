package campaign

import (
	"time"

	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/weather"
	"sunstoker/site/twin"
)

// Scene is the kind of day on which things break.
type Scene struct {
	Name   string
	starts string           // local date
	strike time.Duration    // time of the second day at which the fault begins
	sky    []weather.Moment // a day; none: seeded weather
	learns time.Duration    // healthy days before; 0: one
	lasts  time.Duration    // of a long run: how long the fault stays; 0: as long as it usually does
	startC float64          // of the tanks
	people func() household.Source
	// away is how long the controller is told that nobody is at home; 0: not.
	away time.Duration
}

// coldest marks the moment of a sky that takes the house's own coldest night.
const coldest = -1000

// Scenes lists the campaign's days; all weather and people are invented.
func Scenes() []Scene { return scenes }

var scenes = []Scene{
	{Name: "sunny day", starts: "2026-04-14", strike: 9 * time.Hour, startC: 40, people: family,
		sky: []weather.Moment{{At: 5 * time.Hour, AirC: 7}, {At: 15 * time.Hour, AirC: 19, Cover: 0.3}}},
	{Name: "frosty night", starts: "2026-01-12", strike: 17 * time.Hour, startC: 45, people: family,
		sky: []weather.Moment{{At: 6 * time.Hour, AirC: coldest}, {At: 14 * time.Hour, AirC: 1, Cover: 0.3}, {At: 18 * time.Hour, AirC: -2}}},
	{Name: "hot stagnation", starts: "2026-07-14", strike: 13 * time.Hour, startC: 66, people: alone,
		sky: []weather.Moment{{At: 5 * time.Hour, AirC: 22}, {At: 15 * time.Hour, AirC: 36}}},
	{Name: "big draw", starts: "2026-04-20", strike: 6 * time.Hour, startC: 50, people: func() household.Source { return bathDay{} },
		sky: []weather.Moment{{At: 5 * time.Hour, AirC: 5, Cover: 0.6}, {At: 12 * time.Hour, AirC: 13, Cover: 0.3}, {At: 16 * time.Hour, AirC: 14, Cover: 0.7}}},
	{Name: "holiday", starts: "2026-08-03", strike: 10 * time.Hour, startC: 50, people: nobody, away: 12 * day,
		sky: []weather.Moment{{At: 5 * time.Hour, AirC: 16}, {At: 15 * time.Hour, AirC: 29, Cover: 0.1}}},
}

func family() household.Source { return household.People{Persons: 5, LitresAt60: 45, Seed: 4} }
func alone() household.Source  { return household.People{Persons: 1, LitresAt60: 25, Seed: 1} }
func nobody() household.Source { return nil }

// bathDay is a house full of guests: baths in the morning and in the evening.
type bathDay struct{}

// Day implements household.Source.
func (bathDay) Day(_ household.Date, into []household.Draw) []household.Draw {
	for _, hour := range []float64{6.5, 7, 18.5, 19, 19.5} {
		into = append(into, household.Draw{
			At: time.Duration(hour * float64(time.Hour)), For: 10 * time.Minute, FlowLMin: 12, TapC: 40, UsefulC: 38,
		})
	}
	return into
}

// usualStep is the step of a run, unless its fault is quicker.
const usualStep = 20 * time.Second

// config is the simulated house of a scene, sound and complete.
func (sc *Scene) config(h *House, step time.Duration) (sim.Config, error) {
	start, err := time.ParseInLocation(time.DateOnly, sc.starts, h.site.Zone)
	if err != nil {
		return sim.Config{}, err
	}
	sky := append([]weather.Moment(nil), sc.sky...)
	for i := range sky {
		if sky[i].AirC == coldest {
			sky[i].AirC = h.coldNightC
		}
	}
	place := weather.Place{LatitudeDeg: h.site.LatitudeDeg, LongitudeDeg: h.site.LongitudeDeg, AltitudeM: h.site.AltitudeM}
	var w weather.Source
	if len(sky) > 0 {
		w, err = weather.NewScripted(place, sky)
	} else {
		w, err = seasonSky(place, start)
	}
	if err != nil {
		return sim.Config{}, err
	}
	c, err := twin.Config(h.site, twin.Options{Weather: w, Start: start, Step: step, Seed: 1})
	if err != nil {
		return c, err
	}
	c.Household = sc.people()
	// The scene's weather is that of every day of the year; its cold water is not.
	c.Mains = physics.MainsWater{MeanAirC: 10, AirSwingK: 20}
	c.SkySlot = 5 * time.Minute
	for i := range c.Systems {
		c.Systems[i].Plant.StartC = sc.startC
	}
	return c, nil
}
