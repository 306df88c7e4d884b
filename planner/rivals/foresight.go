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

// sunIsIn is the minute of the day up to which a heating goes on serving what will be
// drawn. Likely the sun has brought most of what it brings by then, so that what is left
// over takes little of it. Between 14:00 and 16:00 it makes little difference, on eight
// houses for tuning; without going on at all foresight needs up to a tenth more.
const sunIsIn = 15 * 60

// latestStart is the latest start with weather, draws and plant known exactly:
// every quarter of an hour the heater stays off if a tank that is heated from
// the next quarter on would still serve everybody, which is tried on a copy of
// the plant. Once it heats it goes on until nobody would miss anything before
// sunIsIn if it stopped. Why that takes less was not looked into; likely water that is
// heated higher at once is drawn to its end, while many short heatings leave all of it
// just warm, which the sun then finds. It misses next to nothing (0.06 % at most in
// forty years that were looked at).
//
// Without seeing the sun it takes the hours ahead for dark, and still knows all
// draws: how much more that costs is what a forecast of the sun is worth to
// somebody who knows the draws.
//
// It is no bound: it serves nearly everything, and does not know what a heating costs
// the sun of the next day. The gap between a rival and it is what knowing more
// would bring; what lies between it and the bound is mostly the ideal tank of
// the bound, and the hygiene that the bound leaves out.
func (f *film) latestStart(ctx context.Context, seesSun bool) (Outcome, error) {
	ahead := actor{plant: new(plant.Plant)}
	dark := make([]scene, scenesPerDay)
	return f.heated(ctx, func(a *actor, at, until, later int) bool {
		coming := f.scenes[at:until]
		if !seesSun {
			coming = dark[:copy(dark, coming)]
			for i := range coming {
				coming[i].around.AbsorbableWM2 = 0
			}
		}
		ahead.become(a)
		return ahead.misses(coming, later)
	})
}

// heated runs the film with a heater that begins when it must and goes on until sunIsIn
// is served, beside the hygiene that is due anyway. Whether it must is told by wanting:
// whether hot water would be wanting from one scene until another if the heater was
// off, and began so many of them later.
func (f *film) heated(ctx context.Context, wanting func(a *actor, at, until, later int) bool) (Outcome, error) {
	var h heatUp
	heats := false
	return f.run(ctx, decideEvery, func(a *actor, left []scene) bool {
		minute, at := left[0].minute, len(f.scenes)-len(left)
		if h.wants(a, minute) {
			return true
		}
		if a.plant.TankC(f.plant.HeaterHeight) > plentyC {
			return false
		}
		if heats {
			served := min(len(left), (sunIsIn-minute+dayMinutes)%dayMinutes)
			heats = wanting(a, at, at+served, served)
		}
		if !heats {
			heats = wanting(a, at, at+min(len(left), decideEvery+lookAhead), decideEvery)
		}
		return heats
	})
}

// misses tells whether somebody would miss hot water if the heater began so many
// scenes later.
func (a *actor) misses(scenes []scene, later int) bool {
	a.plant.SetHeater(false)
	for i := range scenes {
		if i == later {
			a.plant.SetHeater(true)
		}
		if a.step(&scenes[i]) {
			return true
		}
	}
	return false
}

// heatUp is the hygiene of the tank about as the controller does it by its usual
// settings: once in seven days an hour at 60 °C, unless the sun has done it, in the last
// window that can do it before it is due, and late in it. Its spans are in scenes.
type heatUp struct {
	since, held int
	begun       bool
}

const (
	hygieneEvery = 7 * scenesPerDay
	hygieneHold  = 60
	hygieneEarly = 2 * scenesPerDay // from which on what the sun has brought is held
	hygieneFrom  = 13 * 60          // minutes of the day
	hygieneTo    = 18 * 60
	hygieneSpare = 15
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
		h.since, h.begun = 0, false
	default:
		h.held += decideEvery
	}
	left := hygieneEvery - h.since
	open := minute >= hygieneFrom && minute < hygieneTo
	if !h.begun && open {
		takes := a.heatUpTakes() - h.held
		closes, opens := hygieneTo-minute, hygieneFrom+dayMinutes-minute
		later := opens+takes <= min(opens+hygieneTo-hygieneFrom, left)
		h.begun = left <= 0 || h.held > 0 && left <= hygieneEarly || !later && min(closes, left) <= takes
	}
	h.begun = h.begun && (open || h.held > 0)
	return h.begun && topC < hygieneC+hygieneBandK
}

// heatUpTakes is how long a heat-up takes with its hold, with a quarter more and some time to
// spare for draws, by the water at the top and at the heater.
func (a *actor) heatUpTakes() int {
	c := a.config
	meanC := (a.plant.TankC(c.TopProbeHeight) + a.plant.TankC(c.HeaterHeight)) / 2
	above := (1 - c.HeaterHeight) * c.TankLitres
	heatingS := max(0, hygieneC+hygieneBandK-meanC) * above * plant.WaterJKgK / c.HeaterW
	return int(1.25*heatingS/sceneLength.Seconds()) + hygieneSpare + hygieneHold
}
