package control

import "time"

func init() { signBorders = append(signBorders, toldSignBorders...) }

// toldSignBorders are those of a loop that gains in the dark, of one that stands
// still, of a collector probe in the air, of wild readings, and of a tank bottom
// that is hot by night.
var toldSignBorders = []signBorder{
	{"minutes of a gain in the dark", FoundSunInTheDark, 0, []float64{0, 14, 16, 29, 30, 31, 44, 46}, func(p *signPlant, x float64) {
		p.sunInTheDark(minutes(x) - time.Minute)
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"collector in the dark, with air of 20 °C", FoundSunInTheDark, 0, []float64{18, 22, 22.9, 23, 23.1, 24.4, 24.6, 30}, func(p *signPlant, x float64) {
		p.sunInTheDark(29 * time.Minute)
		p.g.collectorC = x
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"collector in the dark, no outdoor probe", FoundSunInTheDark, 0, []float64{18, 30}, func(p *signPlant, x float64) {
		p.sunInTheDark(29 * time.Minute)
		p.lost(p.s.outdoor)
		p.g.collectorC = x
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"1: not wanted, 2: for frost, 3: night cooling, 4: by day, 5: no gap, 6: at rest, 7: just begun", FoundSunInTheDark, 0, []float64{0, 1, 2, 3, 4, 5, 6, 7}, func(p *signPlant, x float64) {
		p.sunInTheDark(29 * time.Minute)
		switch x {
		case 1:
			p.s.mem.LoopWanted = false
		case 2:
			p.s.frostCirculates = true
		case 3:
			p.s.mem.NightCooling = true
		case 4:
			p.g.dark = false
		case 5:
			p.g.gapKnown = false
		case 6:
			p.g.runFor = 0
		case 7:
			p.g.runFor = time.Second
		}
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"hours of rest in the dark", FoundSunInTheDark, 0, []float64{0.9, 1.1, 1.9, 2, 2.9, 3.1}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.m.Night.OffFor = hours(x) - time.Minute
		p.c.lookAtNight(p.s, &p.g)
	}},
	{"hours of rest, and then by day", FoundSunInTheDark, 0, []float64{1, 3}, func(p *signPlant, x float64) {
		p.m.Night.OffFor = hours(x)
		p.c.lookAtNight(p.s, &p.g)
	}},

	{"minutes far above the tank", FoundLoopStandsStill, 0, []float64{14, 16, 29, 30, 31, 44, 46}, func(p *signPlant, x float64) {
		p.standstill(95, minutes(x)-time.Minute)
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"collector above the hottest of the tank, K", FoundLoopStandsStill, 0, []float64{10, 19, 19.9, 20, 21, 29, 31, 39, 40, 41, 61}, func(p *signPlant, x float64) {
		p.standstill(50+x, time.Hour)
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"collector at the bottom's 40 °C in the sun", FoundLoopStandsStill, 0, []float64{39, 40, 41, 45}, func(p *signPlant, x float64) {
		p.standstill(x, 0)
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"height of the sun, degrees", FoundLoopStandsStill, 0, []float64{-90, 9, 11, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.standstill(60, 0)
		p.g.sunDeg = x
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"minutes that the collector stands still", FoundLoopStandsStill, 0, []float64{9, 11, 19, 20, 21, 29, 31}, func(p *signPlant, x float64) {
		p.standstill(95, time.Hour)
		p.s.collectorProbe.Same = minutes(x)
		p.c.lookAtLoop(p.s, &p.g)
	}},
	{"1: trouble of the collector, 2: no gap, 3: a pump", FoundLoopStandsStill, 0, []float64{0, 1, 2, 3}, func(p *signPlant, x float64) {
		pump := p.s.pump
		p.standstill(95, time.Hour)
		switch x {
		case 1:
			p.s.collectorProbe.Trouble = 1
		case 2:
			p.g.gapKnown = false
		case 3:
			p.s.pump = pump
		}
		p.c.lookAtLoop(p.s, &p.g)
	}},

	{"collector above the air, K", FoundProbeOutOfPocket, int(Collector), []float64{-1.5, -1.1, -1, -0.5, 0, 0.5, 1, 1.1, 1.5}, func(p *signPlant, x float64) {
		p.likeAir()
		p.s.collector.Value = p.s.outdoor.Value + x
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"hours like the air", FoundProbeOutOfPocket, int(Collector), []float64{9, 11, 19.9, 20, 20.1, 29, 31}, func(p *signPlant, x float64) {
		p.likeAir()
		p.m.Pocket.AirFor = hours(x) - time.Minute
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"hours of sun like the air", FoundProbeOutOfPocket, int(Collector), []float64{1.9, 2.1, 3.95, 4, 4.1, 5.9, 6.1}, func(p *signPlant, x float64) {
		p.likeAir()
		p.m.Pocket.AirSunFor = hours(x) - time.Minute
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"height of the sun, degrees", FoundProbeOutOfPocket, int(Collector), []float64{-90, 4, 6, 10, 11, 14, 16}, func(p *signPlant, x float64) {
		p.likeAir()
		p.g.sunDeg, p.m.Pocket.AirSunFor = x, 4*time.Hour-time.Minute
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"swing of the air upwards, K", FoundProbeOutOfPocket, int(Collector), []float64{2.9, 3.1, 5.9, 6, 6.1, 8.9, 9.1}, func(p *signPlant, x float64) {
		p.likeAir()
		p.m.Pocket.AirLowC, p.m.Pocket.AirHighC = 20-x, 12
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"swing of the air downwards, K", FoundProbeOutOfPocket, int(Collector), []float64{2.9, 3.1, 5.9, 6, 6.1, 8.9, 9.1}, func(p *signPlant, x float64) {
		p.likeAir()
		p.m.Pocket.AirLowC, p.m.Pocket.AirHighC = 28, 20+x
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"0: the air is lost, 1: the collector", FoundProbeOutOfPocket, int(Collector), []float64{0, 1}, func(p *signPlant, x float64) {
		p.likeAir()
		p.lost([]*Judged{p.s.outdoor, p.s.collector}[int(x)])
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"like the air again, after the loss of 0: nothing, 1: the air, 2: the collector", FoundProbeOutOfPocket, int(Collector), []float64{0, 1, 2}, func(p *signPlant, x float64) {
		p.likeAir()
		lost := []*Judged{p.s.heaterCurrent, p.s.outdoor, p.s.collector}[int(x)]
		was := *lost
		p.lost(lost)
		p.c.lookForAirInstead(p.s, &p.g)
		*lost = was
		p.c.lookForAirInstead(p.s, &p.g)
	}},

	{"height of the sun in a run without a warm collector, degrees", FoundProbeOutOfPocket, int(Collector), []float64{-90, 5, 11, 20, 21, 31}, func(p *signPlant, x float64) {
		p.read(20, 50, 40)
		p.g.sunDeg = x
		p.m.Pocket = PocketSigns{Running: true, RunFromC: 35, RunLowC: 20, RunHighC: 20}
		p.c.lookForHeatFromNowhere(p.s, &p.g)
	}},

	{"wild unrest of a tank by day, K", FoundProbeUnsteady, int(TankTop), []float64{0.1, 0.35, 0.39, 0.41, 0.45, 1, 3.9, 4.1, 6}, func(p *signPlant, x float64) {
		p.wild(TankTop, x, 2*time.Hour)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"wild unrest of a collector by day, K", FoundProbeUnsteady, int(Collector), []float64{0.35, 0.45, 4.1, 6, 11.9, 12.1, 18}, func(p *signPlant, x float64) {
		p.wild(Collector, x, 2*time.Hour)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"wild unrest of a coil return by day, K", FoundProbeUnsteady, int(CoilReturn), []float64{0.35, 6, 11.9, 12.1, 18}, func(p *signPlant, x float64) {
		p.wild(CoilReturn, x, 2*time.Hour)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"minutes of wild unrest", FoundProbeUnsteady, int(TankTop), []float64{29, 31, 59, 60, 61, 89, 91}, func(p *signPlant, x float64) {
		p.wild(TankTop, 9, minutes(x)-time.Minute)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"minutes of calm", FoundProbeUnsteady, int(TankTop), []float64{29, 31, 59, 60, 61}, func(p *signPlant, x float64) {
		p.wild(TankTop, 0.1, minutes(x)-time.Minute)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"unrest of the nights before, calm by day, K", FoundProbeUnsteady, int(TankTop), []float64{0.1, 0.35, 0.45, 1}, func(p *signPlant, x float64) {
		p.wild(TankTop, 0.1, 2*time.Hour)
		p.c.st.Probes[2].Signs.Unrest = x
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"wild unrest in a quiet night, K", FoundProbeUnsteady, int(TankTop), []float64{0.1, 1, 3.9, 4.1, 6}, func(p *signPlant, x float64) {
		p.night(20, 50, 40)
		p.wild(TankTop, x, 2*time.Hour)
		p.c.st.Probes[2].Signs = UnrestSigns{Last: 50, Looks: 2, For: 2 * time.Hour}
		p.c.lookAtPockets(p.s, &p.g)
	}},

	{"bottom in the night before, K above the top", FoundCollectorSwapped, 0, []float64{-6, 0, 2.4, 2.6, 4.9, 5, 5.1, 7.4, 7.6}, func(p *signPlant, x float64) {
		g := p.g
		p.night(20, 50, 50+x)
		p.c.lookAtPockets(p.s, &p.g)
		p.g = g
		p.read(30, 50, 70)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"height of the sun, degrees, a hot bottom", FoundCollectorSwapped, 0, []float64{-90, -7, 9, 11, 20, 21, 31}, func(p *signPlant, x float64) {
		p.c.sky.known, p.g.sunDeg = true, x
		p.read(30, 50, 70)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"clock known, a hot bottom at no known height of the sun", FoundCollectorSwapped, 0, []float64{0, 1}, func(p *signPlant, x float64) {
		p.c.sky.known, p.g.sunDeg = x == 1, -90
		p.read(30, 50, 70)
		p.c.lookAtPockets(p.s, &p.g)
	}},
	{"hours since a program ran again", FoundWasAway, 0, []float64{0, 1, 35.9, 35.99, 36, 54}, func(p *signPlant, x float64) {
		p.c.st.House.AwayFor, p.c.st.House.AwayAgo = time.Hour, hours(x)-time.Minute
		p.c.lookAtAway(time.Minute)
	}},
}

// sunInTheDark is a run of the pump by night for the sun's sake, the collector
// hotter than air and tank bottom, after so much of it.
func (p *signPlant) sunInTheDark(before time.Duration) {
	p.g.dark, p.g.sunDeg, p.s.mem.LoopWanted = true, -20, true
	p.m.Night.OnFor = before
}

// standstill is a loop without a pump whose collector has been far above the tank
// for so long, and is at collectorC now.
func (p *signPlant) standstill(collectorC float64, before time.Duration) {
	p.rest(5 * time.Hour)
	p.s.pump = none
	p.read(collectorC, 50, 40)
	p.m.Loop.DeadFor = before
}

// likeAir is a collector at rest that has been like the air, 20 °C now, for more
// than long enough.
func (p *signPlant) likeAir() {
	p.rest(5 * time.Hour)
	p.s.collector.Value, p.s.outdoor.Value = 20, 20
	p.m.Pocket = PocketSigns{AirFor: 30 * time.Hour, AirSunFor: 8 * time.Hour, AirLowC: 8, AirHighC: 22}
}

// wild gives a probe so much unrest, which the look at hand lessens a little.
func (p *signPlant) wild(place Place, unrestK float64, before time.Duration) {
	i := p.c.plan.probeAt(0, place)
	last := p.c.out.Readings[i].Value
	p.c.st.Probes[i].Wild = UnrestSigns{Last: last, Looks: 2, Unrest: unrestK / (1 - 1.0/60), For: before}
}
