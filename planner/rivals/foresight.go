package rivals

import (
	"context"

	"sunstoker/sim/plant"
)

// plentyC at the heater is enough for any quarter of an hour.
const plentyC = 65

// How often the latest start decides, and how far it looks ahead, in scenes:
// farther than any tank here takes to be heated.
const (
	decideEvery = 15
	lookAhead   = 6 * 60
)

// latestStart is the latest start with weather, draws and plant known exactly:
// every quarter of an hour the heater stays off if a tank that is heated from
// the next quarter on would still serve everybody, which is tried on a copy of
// the plant. It misses nothing that heating could have served.
//
// Without seeing the sun it takes the hours ahead for dark, and still knows all
// draws: how much more that costs is what a forecast of the sun is worth to
// somebody who knows the draws.
//
// It is no bound: it serves everything, and does not know what a heating costs
// the sun of the next day; where every day is alike, good windows need up to a
// twentieth less. The gap between a rival and it is what knowing more
// would bring; what lies between it and the bound is mostly the ideal tank of
// the bound. It heats nothing for hygiene.
func (f *film) latestStart(ctx context.Context, seesSun bool) (Outcome, error) {
	ahead := actor{plant: new(plant.Plant)}
	dark := make([]scene, decideEvery+lookAhead)
	return f.run(ctx, decideEvery, func(a *actor, left []scene) bool {
		if a.plant.TankC(f.plant.HeaterHeight) > plentyC {
			return false
		}
		ahead.become(a)
		left = left[:min(len(left), decideEvery+lookAhead)]
		if !seesSun {
			left = dark[:copy(dark, left)]
			for i := range left {
				left[i].around.AbsorbableWM2 = 0
			}
		}
		return ahead.misses(left)
	})
}

// misses tells whether somebody would miss hot water if the heater began one
// decision later.
func (a *actor) misses(scenes []scene) bool {
	a.plant.SetHeater(false)
	for i := range scenes {
		if i == decideEvery {
			a.plant.SetHeater(true)
		}
		if a.step(&scenes[i]) {
			return true
		}
	}
	return false
}
