package rivals

import (
	"context"
	"errors"
	"sync"
	"time"

	"sunstoker/sim/household"
	"sunstoker/sim/plant"
)

// oddsSeed takes the years that tell the odds of draws past all other seeds.
const oddsSeed = 50_000

// oddsLookAhead is how far the odds are looked at, in scenes: longer than a heater
// takes to make what one draw needs. It spares half the work of lookAhead.
const oddsLookAhead = 3 * 60

// oddsColdWh is the heat that may come cold in the mean of the other years: the
// setting that trades comfort for electricity.
var oddsColdWh = []float64{2, 10, 30, 80}

// pours are the litres drawn from one system, scene by scene.
type pours []float32

// otherPours are the draws of so many other years of the same people.
func (g *ground) otherPours(years int) ([]pours, error) {
	s, err := g.site()
	if err != nil {
		return nil, err
	}
	all := make([]pours, years)
	for i := range all {
		other := *g
		other.PeopleSeed += oddsSeed * uint64(i+1)
		config, err := other.house(s, g.weather, sceneLength)
		if err != nil {
			return nil, err
		}
		taps, err := household.NewTaps(config.Household, config.Start, config.Zone)
		if err != nil {
			return nil, err
		}
		all[i] = make(pours, (warmUpDays+g.days())*scenesPerDay)
		for at := range all[i] {
			from := time.Duration(at) * sceneLength
			for _, p := range taps.Between(from, from+sceneLength) {
				all[i][at] += float32(p.Litres / float64(len(config.Systems)))
			}
		}
	}
	return all, nil
}

// latestByOdds is the latest start of somebody who knows weather, plant and every
// layer of the tank, and of the draws what other years of the same people show: the
// heater stays off if a tank that is heated from the next quarter of an hour on would
// let no more than so many Wh come cold in the mean of them, in the hours that it
// looks ahead; once it heats it goes on as foresight does, by the same measure. It is
// what textbooks make of a plan under chance (sample average), on the simulated plant
// itself.
//
// These people's draws know nothing of each other beyond day and hour
// (household.People), so that nothing more than their odds can be known of them. It
// is no bound, as foresight is none: it does not see what a heating costs the sun of
// the next day, and its other years are few for what is rare.
func (f *film) latestByOdds(ctx context.Context, others []pours, coldWh float64) (Outcome, error) {
	ahead := actor{plant: new(plant.Plant)}
	coming := make([]scene, scenesPerDay)
	mostJ := coldWh / 1000 * joulesPerKWh * float64(len(others))
	return f.heated(ctx, func(a *actor, at, until, later int) bool {
		some := coming[:copy(coming, f.scenes[at:min(until, at+later+oddsLookAhead)])]
		coldJ := 0.0
		for _, litres := range others {
			last := 0 // what comes after the last draw misses nothing
			for i := range some {
				some[i].litres = float64(litres[at+i])
				if some[i].litres > 0 {
					last = i + 1
				}
			}
			ahead.become(a)
			if coldJ += ahead.coldJ(some[:last], later); coldJ > mostJ {
				return true
			}
		}
		return false
	})
}

// coldJ is the heat that would come cold if the heater began so many scenes later.
func (a *actor) coldJ(scenes []scene, later int) float64 {
	was := a.askedJ - a.atTempJ
	a.plant.SetHeater(false)
	for i := range scenes {
		if i == later {
			a.plant.SetHeater(true)
		}
		a.step(&scenes[i])
	}
	if cold := a.askedJ - a.atTempJ - was; cold > coldRoundingJ {
		return cold
	}
	return 0
}

// coldRoundingJ is what sums of a year lose by rounding.
const coldRoundingJ = 1

// odds is the curve of the latest start by the odds of draws in so many other years.
func (l *lab) odds(ctx context.Context, g *ground, f *film, years int) (Curve, error) {
	others, err := g.otherPours(years)
	if err != nil {
		return nil, err
	}
	c, errs := make(Curve, len(oddsColdWh)), make([]error, len(oddsColdWh))
	var group sync.WaitGroup
	for i, coldWh := range oddsColdWh {
		group.Go(func() {
			l.slots <- struct{}{}
			defer func() { <-l.slots }()
			c[i].Setting = coldWh
			c[i].Outcome, errs[i] = f.latestByOdds(ctx, others, coldWh)
		})
	}
	group.Wait()
	return c, errors.Join(errs...)
}
