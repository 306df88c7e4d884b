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
// the sun of the next day; where every day is alike, good windows need up to
// 17 % less. The gap between a rival and it is what knowing more
// would bring; what lies between it and the bound is mostly the ideal tank of
// the bound, and the hygiene that the bound leaves out.
func (f *film) latestStart(ctx context.Context, seesSun bool) (Outcome, error) {
	ahead := actor{plant: new(plant.Plant)}
	dark := make([]scene, decideEvery+lookAhead)
	return f.heated(ctx, func(a *actor, left []scene) bool {
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

// heated runs the film under a rule for the heater that decides every quarter of an
// hour, beside the hygiene that is due anyway.
func (f *film) heated(ctx context.Context, must func(*actor, []scene) bool) (Outcome, error) {
	var h heatUp
	return f.run(ctx, decideEvery, func(a *actor, left []scene) bool {
		if h.wants(a, left[0].minute) {
			return true
		}
		return a.plant.TankC(f.plant.HeaterHeight) <= plentyC && must(a, left)
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

// heatUp is the hygiene of the tank as the controller does it by its usual
// settings: once in seven days an hour at 60 °C, begun between 13:00 and 18:00,
// unless the sun has done it. Its spans are in scenes.
type heatUp struct {
	since, held int
}

const (
	hygieneEvery = 7 * scenesPerDay
	hygieneHold  = 60
	hygieneFrom  = 13 * 60 // minutes of the day
	hygieneTo    = 18 * 60
	hygieneC     = 60
	hygieneBandK = 2 // above it, so that a quarter of an hour without heat does not end the hold
)

// wants looks at the tank as a decision is due, and tells whether a heat-up needs the
// heater.
func (h *heatUp) wants(a *actor, minute int) bool {
	topC := a.plant.TankC(a.config.TopProbeHeight)
	h.since += decideEvery
	switch {
	case topC < hygieneC:
		h.held = 0
	case h.held >= hygieneHold:
		h.since = 0
	default:
		h.held += decideEvery
	}
	due := h.since >= hygieneEvery && (h.held > 0 || minute >= hygieneFrom && minute < hygieneTo)
	return due && topC < hygieneC+hygieneBandK
}
