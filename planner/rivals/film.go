package rivals

import (
	"context"
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/plant"
)

// sceneLength is a step of a film.
const sceneLength = time.Minute

// film is a case as it will come, minute by minute, for one of its systems. It
// can be run with a stand-in for the controller many times faster than the house
// under the real one: to look for windows, and to look ahead.
type film struct {
	plant   plant.Config
	systems int
	days    int // that count, at the end
	scenes  []scene
}

type scene struct {
	around plant.Surroundings
	litres float64 // drawn from this system, mixed
	minute int     // of the civil day
}

// newFilm records weather and draws of a case.
func (g *ground) newFilm(ctx context.Context) (*film, error) {
	s, err := g.site()
	if err != nil {
		return nil, err
	}
	config, err := g.house(s, g.weather, sceneLength)
	if err != nil {
		return nil, err
	}
	taps, err := household.NewTaps(config.Household, config.Start, config.Zone)
	if err != nil {
		return nil, err
	}
	config.Household = nil
	house, err := sim.New(config)
	if err != nil {
		return nil, err
	}
	f := &film{plant: config.Systems[0].Plant, systems: len(config.Systems), days: g.days()}
	f.scenes = make([]scene, 0, (warmUpDays+f.days)*scenesPerDay)
	for len(f.scenes) < cap(f.scenes) {
		if len(f.scenes)%scenesPerDay == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		sky, at := house.Sky(), house.Now().In(config.Zone)
		one := scene{minute: at.Hour()*60 + at.Minute(), around: plant.Surroundings{
			AbsorbableWM2: house.Light(0).AbsorbableWM2, AirC: sky.AirC, SkyDropK: sky.SkyDropK, RoomC: config.RoomC, ColdC: house.ColdC(),
		}}
		for _, p := range taps.Between(house.Elapsed(), house.Elapsed()+sceneLength) {
			one.litres += p.Litres / float64(f.systems)
		}
		f.scenes = append(f.scenes, one)
		house.Step(sceneLength)
	}
	return f, nil
}

const scenesPerDay = int(24 * time.Hour / sceneLength)

// run lives through the film from the scene at which each decision is due, and
// tells what came of the days that count.
func (f *film) run(ctx context.Context, every int, heats func(*actor, []scene) bool) (Outcome, error) {
	p, err := plant.New(f.plant)
	if err != nil {
		return Outcome{}, err
	}
	a := actor{plant: p, config: &f.plant}
	begin := len(f.scenes) - f.days*scenesPerDay
	var start counters
	for at := 0; at < len(f.scenes); at += every {
		if at%scenesPerDay == 0 && ctx.Err() != nil {
			return Outcome{}, ctx.Err()
		}
		if at == begin {
			start = a.counters()
		}
		left := f.scenes[at:]
		a.live(left[:min(every, len(left))], heats(&a, left))
	}
	end := a.counters()
	o := end.since(&start, f.days)
	for _, sum := range []*float64{&o.HeaterKWh, &o.AskedKWh, &o.SunKWh, &o.LossKWh, &o.PumpKWh} {
		*sum *= float64(f.systems)
	}
	return o, nil
}

// windows are fixed windows and a set temperature, as the controller would keep
// them.
func (f *film) windows(ctx context.Context, w control.Windows, setC float64) (Outcome, error) {
	wanted := false
	open := make([]bool, dayMinutes)
	for m := range open {
		open[m] = w.Contain(m)
	}
	return f.run(ctx, 1, func(a *actor, left []scene) bool {
		topC := a.plant.TankC(f.plant.TopProbeHeight)
		wanted = open[left[0].minute] && (topC <= setC-windowBandK || wanted && topC < setC)
		return wanted
	})
}

// actor is a plant with a plain rule for its loop pump, by true temperatures.
type actor struct {
	plant           *plant.Plant
	config          *plant.Config
	pumps, full     bool
	askedJ, atTempJ float64
}

func (a *actor) become(o *actor) {
	mine := a.plant
	*a = *o
	a.plant = mine
	a.plant.Become(o.plant)
}

// live is some scenes with or without the heater.
func (a *actor) live(scenes []scene, heat bool) {
	a.plant.SetHeater(heat)
	for i := range scenes {
		a.step(&scenes[i])
	}
}

// step is one scene; it tells whether somebody missed hot water in it.
func (a *actor) step(s *scene) (missed bool) {
	a.plant.SetPump(a.pumpLevel())
	if s.litres > 0 {
		got := a.plant.Tap(plant.Draw{Litres: s.litres, TapC: tapC, UsefulC: tapC + strictK}, s.around.ColdC)
		a.askedJ += got.AskedJ
		a.atTempJ += got.AtTemperatureJ
		missed = got.AtTemperatureJ < (1-1e-9)*got.AskedJ
	}
	a.plant.Step(&s.around, sceneLength.Seconds())
	return missed
}

// Differences and limits of the pump, as in the settings of the houses.
const (
	startK, stopK    = 8, 3
	fullC, fullBandK = 80, 3
	steamC           = 110
)

func (a *actor) pumpLevel() float64 {
	topC, collectorC := a.plant.TankC(1), a.plant.CollectorC()
	a.full = topC >= fullC || a.full && topC > fullC-fullBandK
	gapK := collectorC - a.plant.TankC(a.config.BottomProbeHeight)
	a.pumps = !a.full && collectorC < steamC && (gapK >= startK || a.pumps && gapK > stopK)
	if a.pumps {
		return 1
	}
	return 0
}

// counters are the sums since the run began.
func (a *actor) counters() counters {
	b := a.plant.Book()
	return counters{
		heaterJ: b.HeaterJ, sunJ: b.LoopToTankJ, lossJ: b.TankLossJ, pumpJ: b.PumpJ, storedJ: b.TankStoredJ, systems: 1,
		starts: a.plant.Tally().PumpStarts, usage: sim.Usage{AskedJ: a.askedJ, AtTemperatureJ: a.atTempJ},
	}
}
