package control

import (
	"math"
	"time"
)

// frostFloorBandK is how much a tank at its frost floor must warm up before it
// gives heat again.
const frostFloorBandK = 3

// frostNearK is how far above frost_start a collector is so warm that cold air
// alone does not call for watch runs. Without this bound, watch runs would
// carry a whole tank's heat to the roof in one night.
const frostNearK = 3

// frostAlive is how long a collector reading may stay the same to the last
// digit and still be trusted to tell of frost.
const frostAlive = time.Hour

// frostRule keeps a loop of plain water from freezing. A cold collector makes
// it circulate for as long as it is cold and the tank has warmth to give. When
// the collector can't be trusted to tell, cold outdoor air makes it circulate
// in short watch runs; no reading at all in the cold season does too. A loop
// with antifreeze needs none of it.
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
	m.FrostRunning = s.collector.OK() && latched(m.FrostRunning, -s.collector.Value, -set.FrostStartC, set.FrostBandK)
	if m.FrostRunning {
		m.FrostRunFor += elapsed
	} else {
		m.FrostRunFor = 0
	}
	watch, why := c.frostWatch(s)
	if m.FrostRunning {
		why = because(SaysFrostCirculation, s.collector.Value)
	}
	wanted := m.FrostRunning || watch
	takesHeat := !s.collector.OK() || !coil.OK() || s.collector.Value < coil.Value
	switch {
	case wanted && coil.OK() && m.FrostTankCold:
		if takesHeat {
			c.ballots[s.pump].cast(0, Protect, because(SaysFrostTankCold, coil.Value, set.FrostTankFloorC))
		}
		m.FrostWatching = false
		return
	case m.FrostRunning && coil.OK():
		s.frostCirculates = true
	default:
		s.frostCirculates = c.watchRun(s, wanted)
	}
	if s.frostCirculates {
		c.ballots[s.pump].cast(1, Protect, why)
	}
}

// watchRun tells whether a watch run is due or under way: one run after each
// pause in which the pump has not run for any reason.
func (c *Controller) watchRun(s *system, wanted bool) bool {
	m, pump := s.mem, &c.st.Outputs[s.pump]
	switch {
	case !wanted:
		m.FrostWatching = false
	case pump.Level == 0:
		m.FrostWatching = pump.InState >= s.set.FrostWatchPause
	case pump.InState >= s.set.FrostWatchRun:
		m.FrostWatching = false
	}
	return m.FrostWatching
}

// frostWatch tells whether watch runs are called for, and why.
func (c *Controller) frostWatch(s *system) (bool, Reason) {
	m := s.mem
	if !s.outdoor.OK() {
		m.FrostAirCold = false
		return c.blindToFrost(s), because(SaysFrostWatchBlind)
	}
	m.FrostAirCold = latched(m.FrostAirCold, -s.outdoor.Value, -s.set.FrostStartC, s.set.FrostBandK)
	warm := s.collector.OK() && s.collectorProbe.Same < frostAlive && s.collector.Value > s.set.FrostStartC+frostNearK
	return m.FrostAirCold && !warm, because(SaysFrostWatchAir, s.outdoor.Value)
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
