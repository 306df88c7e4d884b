package control

import (
	"testing"
	"time"
)

// TestAProbeInTheAirStaysFound: what a run or a day has proven stands through dull
// days, by what was seen then, until a sunny day proves otherwise.
func TestAProbeInTheAirStaysFound(t *testing.T) {
	heatFromNowhere := func(p *signPlant) {
		p.read(20, 50, 40)
		p.m.Pocket = PocketSigns{Running: true, RunFromC: 30, RunLowC: 20, RunHighC: 20}
		p.c.lookForHeatFromNowhere(p.s, &p.g)
	}
	airInstead := func(p *signPlant) {
		p.likeAir()
		p.c.lookForAirInstead(p.s, &p.g)
	}
	for name, proves := range map[string]func(p *signPlant){"a run that heats the tank": heatFromNowhere, "a day like the air": airInstead} {
		p := newSignPlant(t)
		proves(p)
		m := &p.m.Pocket
		slot := &p.c.findings.slots[p.c.findings.index(&p.c.plan, FoundProbeOutOfPocket, 0, int(Collector))]
		seen := slot.evidence
		for _, dusk := range []struct {
			mostK float64
			found bool
		}{{3, true}, {3, true}, {20, false}} {
			m.PeakK, m.AirC, p.g.dusk, p.g.sunDeg = dusk.mostK, 20, true, -7
			p.c.lookForLooseCollector(p.s, &p.g)
			if found := slot.seen > 0; found != dusk.found {
				t.Errorf("%s, and then a day with %g K above the air: found %v", name, dusk.mostK, found)
			}
			if dusk.found && slot.evidence != seen {
				t.Errorf("%s was seen, and after a day it is told as %s", name, slot.evidence)
			}
		}
		if m.LikeAir || m.ColdDays != 0 {
			t.Errorf("%s, and then a sunny day: still like the air %v, for %d days", name, m.LikeAir, m.ColdDays)
		}
	}
}

// TestADullWeekIsToldAsSuch: after a week near the air the days are the evidence,
// whatever was seen before.
func TestADullWeekIsToldAsSuch(t *testing.T) {
	p := newSignPlant(t)
	p.likeAir()
	p.c.lookForAirInstead(p.s, &p.g)
	slot := &p.c.findings.slots[p.c.findings.index(&p.c.plan, FoundProbeOutOfPocket, 0, int(Collector))]
	for day := 1; day <= pocketDays; day++ {
		p.m.Pocket.PeakK, p.m.Pocket.AirC, p.g.dusk, p.g.sunDeg = 3, 20, true, -7
		p.c.lookForLooseCollector(p.s, &p.g)
		if told := slot.evidence.Words == SawColdDays; told != (day == pocketDays) {
			t.Errorf("after %d days: told as %s", day, slot.evidence)
		}
	}
}

// TestALoopWithoutAPumpRests: its collector tells so, 2 K below the hottest of the
// tank, and must be read.
func TestALoopWithoutAPumpRests(t *testing.T) {
	for _, tc := range []struct {
		collectorC float64
		lost       bool
		rests      bool
	}{{47.5, false, true}, {47.9375, false, true}, {48, false, false}, {48.5, false, false}, {60, false, false}, {0, true, false}} {
		p := newSignPlant(t)
		p.s.pump = none
		p.read(tc.collectorC, 50, 40)
		if tc.lost {
			p.lost(p.s.collector)
		}
		if g := p.c.glanceAt(p.s, time.Minute); g.loopRests != tc.rests {
			t.Errorf("collector at %g °C, lost %v: rests %v", tc.collectorC, tc.lost, g.loopRests)
		}
	}
}
