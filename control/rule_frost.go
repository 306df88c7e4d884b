package control

import (
	"math"
	"time"
)

// frostFloorBandK is how much a tank at its frost floor must warm up before it
// gives heat again.
const frostFloorBandK = 3

// frostRule keeps a loop of plain water from freezing. A cold collector makes
// it circulate for as long as it is cold and the tank has warmth to give. Cold
// outdoor air, or no reading at all in the cold season, makes it circulate in
// short watch runs, since then a probe may be lying or the pipes be colder than
// the collector. A loop with antifreeze needs none of it.
func (c *Controller) frostRule(s *system, elapsed time.Duration) {
	s.frostCirculates = false
	if !s.plan.WaterFilled {
		return
	}
	m, set := s.mem, s.set
	coil, _ := s.coil()
	if coil.OK() {
		m.FrostTankCold = coil.Value <= set.FrostTankFloorC ||
			m.FrostTankCold && coil.Value < set.FrostTankFloorC+frostFloorBandK
	}
	cold := s.collector.OK() && latched(m.FrostRunning, -s.collector.Value, -set.FrostStartC, set.FrostBandK)
	m.FrostRunning = cold
	if cold {
		m.FrostRunFor += elapsed
	} else {
		m.FrostRunFor = 0
	}
	watch, why := c.frostWatch(s)
	switch {
	case !cold && watch == false:
		m.FrostWatchAt = 0
	case coil.OK() && m.FrostTankCold:
		c.ballots[s.pump].cast(0, Protect, because(SaysFrostTankCold, coil.Value, set.FrostTankFloorC))
	case cold && coil.OK():
		s.frostCirculates = true
		c.ballots[s.pump].cast(1, Protect, because(SaysFrostCirculation, s.collector.Value))
	default:
		if cold {
			why = because(SaysFrostCirculation, s.collector.Value)
		}
		s.frostCirculates = m.FrostWatchAt < set.FrostWatchRun
		m.FrostWatchAt = (m.FrostWatchAt + elapsed) % (set.FrostWatchRun + set.FrostWatchPause)
		if s.frostCirculates {
			c.ballots[s.pump].cast(1, Protect, why)
		}
	}
}

// frostWatch tells whether short watch runs are due, and why.
func (c *Controller) frostWatch(s *system) (bool, Reason) {
	switch {
	case s.outdoor.OK():
		return s.outdoor.Value <= s.set.FrostStartC, because(SaysFrostWatchAir, s.outdoor.Value)
	case c.blindToFrost(s):
		return true, because(SaysFrostWatchBlind)
	}
	return false, Reason{}
}

// blindToFrost tells that nothing has been able to see frost for a while, in a
// season that may have some.
func (c *Controller) blindToFrost(s *system) bool {
	if s.collector.OK() || s.outdoor.OK() || !c.coldSeason {
		return false
	}
	silent := time.Duration(math.MaxInt64)
	for _, p := range []*ProbeState{s.collectorProbe, s.outdoorProbe} {
		if p != nil {
			silent = min(silent, p.Silent)
		}
	}
	return silent > 2*s.set.ReadingAgeLimit
}

// mayFreeze tells whether a month belongs to the half year with frost:
// October to April in the north, April to October in the south. While the
// clock is not set, it may be winter.
func mayFreeze(wall Wall, latitudeDeg float64) bool {
	if !wall.Trusted {
		return true
	}
	month := wall.Time.Month()
	if latitudeDeg >= 0 {
		return month >= time.October || month <= time.April
	}
	return month >= time.April && month <= time.October
}
