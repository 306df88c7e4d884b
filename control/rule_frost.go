package control

import (
	"math"
	"time"
)

// frostFloorBandK is how much a tank at its frost floor must warm up before it
// gives heat again.
const frostFloorBandK = 3

// frostColdPatience is how long a tank must read as cold as its frost floor before
// frost protection is refused, so that a noisy probe does not refuse it. Within this
// time a loop takes a fraction of a kelvin from a tank.
const frostColdPatience = 5 * time.Minute

// frostNearK is how far above frost_start a collector is so warm that cold air
// alone does not call for watch runs. Without this bound, watch runs would
// carry a whole tank's heat to the roof in one night.
const frostNearK = 3

// A collector at rest in the dark comes down to the air: when both have lasted for
// darkAfter it is at most darkGapK warmer. A reading that says more is not
// believed until it does come down, or it is day. Common practice, no source.
const (
	darkGapK     = 3
	darkGapBandK = 1
)

// frostAlive is how long a collector reading may stay the same to the last
// digit and still be trusted to tell of frost.
const frostAlive = 20 * time.Minute

// frostDoubtK and frostDoubtAfter tell when a collector reading is too warm to
// be true in cold air: so far above it, with the pump at rest for so long.
const (
	frostDoubtK     = 20
	frostDoubtAfter = 30 * time.Minute
)

// frostRule keeps a loop of plain water from freezing. A cold collector makes
// it circulate for as long as it is cold and the tank has warmth to give. When
// the collector can't be trusted to tell, cold outdoor air makes it circulate
// in short watch runs; readings that fail or contradict each other in the cold
// season do too. A loop with antifreeze is left to rule_last_resort.go.
func (c *Controller) frostRule(s *system, elapsed time.Duration) {
	s.frostCirculates, s.frostRefused = false, false
	if !s.plan.WaterFilled {
		c.lastResort(s, elapsed)
		return
	}
	m, set := s.mem, s.set
	c.doubtWarmth(s)
	coil, standIn := s.coil()
	if coil.OK() && !standIn {
		m.coldTank(coil.Value-set.FrostTankFloorC, elapsed)
	}
	m.FrostRunning = s.collector.OK() && latched(m.FrostRunning, -s.collector.Value, -set.FrostStartC, set.FrostBandK)
	watch, why := c.frostWatch(s)
	if m.FrostRunning {
		why = because(SaysFrostCirculation, s.collector.Value)
	}
	coilWarmer := !coil.OK() || !s.collector.OK() || coil.Value > s.collector.Value
	if m.FrostRunning && !coilWarmer && s.collector.Value > set.FrostStartC {
		m.FrostRunning = false // it is as warm as it can get, and warm enough
	}
	wanted := m.FrostRunning || watch
	switch {
	case wanted && m.FrostRunning && !coilWarmer, wanted && m.FrostTankCold && coilWarmer:
		c.ballots[s.pump].cast(0, Protect, because(SaysFrostTankCold, coil.Value, set.FrostTankFloorC))
		m.FrostWatching = false
		s.frostRefused = true
		return
	case m.FrostRunning && coil.OK() && !standIn:
		s.frostCirculates = true
	default:
		s.frostCirculates = coilWarmer && s.rooflessHeat() && c.shortRun(s, wanted, set.FrostWatchRun, set.FrostWatchPause)
	}
	if s.frostCirculates {
		c.ballots[s.pump].cast(1, Protect, why)
	}
}

// coldTank notes whether a tank so far above its frost floor has warmth to give.
func (m *SystemState) coldTank(aboveK float64, elapsed time.Duration) {
	if aboveK > 0 {
		m.FrostColdFor = 0
	} else {
		m.FrostColdFor = min(m.FrostColdFor+elapsed, frostColdPatience)
	}
	m.FrostTankCold = m.FrostColdFor >= frostColdPatience || m.FrostTankCold && aboveK < frostFloorBandK
}

// countFrost keeps how long the collector has called for circulation.
func (c *Controller) countFrost(s *system, elapsed time.Duration) {
	if s.mem.FrostRunning {
		s.mem.FrostRunFor += elapsed
	} else {
		s.mem.FrostRunFor = 0
	}
}

// rooflessHeat tells that running the loop brings no heat from the roof into a
// tank that may not have it: the collector is read as colder than the tank or,
// where that can't be read, than its limit; or it was not hotter than the tank's
// limit allows when it was last read, or that is long ago.
func (s *system) rooflessHeat() bool {
	switch {
	case s.collectorProbe == nil:
		return true
	case s.collector.OK():
		return s.tankKnown || s.collector.Value < s.set.TankLimitC // what is known of the tank, frostRule compares
	}
	return !s.mem.TankFull && (s.collectorProbe.Last < s.set.TankLimitC || s.collectorProbe.Silent >= unseenPatience) ||
		s.collectorProbe.Silent >= unseenPatience && s.outdoor.OK()
}

// shortRun tells whether a short run against frost is due or under way: one run
// after each pause in which the pump has not run for any reason. One that has
// begun is carried through.
func (c *Controller) shortRun(s *system, wanted bool, run, pause time.Duration) bool {
	m, pump := s.mem, &c.st.Outputs[s.pump]
	switch {
	case pump.Level == 0:
		m.FrostWatching = wanted && pump.Idle >= pause
	case pump.InState >= run:
		m.FrostWatching = false
	}
	return m.FrostWatching
}

// frostWatch tells whether watch runs are called for, and why.
func (c *Controller) frostWatch(s *system) (bool, Reason) {
	m := s.mem
	if m.BelowSky {
		m.FrostAirCold = false
		return c.coldSeason, because(SaysFrostWatchDispute, s.collector.Value, s.outdoorProbe.Last)
	}
	if !s.outdoor.OK() {
		m.FrostAirCold = false
		return c.blindToFrost(s), because(SaysFrostWatchBlind)
	}
	m.FrostAirCold = latched(m.FrostAirCold, -s.outdoor.Value, -s.set.FrostStartC, s.set.FrostBandK)
	return m.FrostAirCold && !c.warmRoof(s), because(SaysFrostWatchAir, s.outdoor.Value)
}

// doubtWarmth notes a collector that stays warmer than the dark allows.
func (c *Controller) doubtWarmth(s *system) {
	m := s.mem
	if !c.sky.longDark || !s.collector.OK() || !s.outdoor.OK() {
		m.FrostTooWarm = m.FrostTooWarm && c.sky.longDark
		return
	}
	gap := s.collector.Value - s.outdoor.Value
	m.FrostTooWarm = m.FrostTooWarm && gap > darkGapK-darkGapBandK ||
		gap > darkGapK && c.st.Outputs[s.pump].Idle >= darkAfter
}

// warmRoof tells that the collector is known to be well above frost: a reading
// that moves, and is not warmer than the cold air allows.
func (c *Controller) warmRoof(s *system) bool {
	if !s.collector.OK() || s.collector.Value <= s.set.FrostStartC+frostNearK {
		return false
	}
	rested := s.mem.FrostWatching || c.st.Outputs[s.pump].Idle > frostDoubtAfter
	tooWarm := rested && s.collector.Value > s.outdoor.Value+frostDoubtK
	return !tooWarm && !s.mem.FrostTooWarm && s.collectorProbe.Same < frostAlive
}

// blindToFrost tells that nothing has been able to see frost for a while, in a
// season that may have some. A probe that can be read has not been silent.
func (c *Controller) blindToFrost(s *system) bool {
	if !c.coldSeason {
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
// October to May in the north, April to November in the south. While the clock
// is not set, it may be winter.
func mayFreeze(wall Wall, latitudeDeg float64) bool {
	if !wall.Trusted {
		return true
	}
	month := wall.Time.Month()
	if latitudeDeg >= 0 {
		return month >= time.October || month <= time.May
	}
	return month >= time.April && month <= time.November
}
