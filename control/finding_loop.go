package control

import "time"

// The signs of a loop that moves no heat. Common practice, no source: at a flow
// that suits its area a collector in full sun is 10 to 25 K hotter than the tank
// bottom, with a small flow up to 45 K, and the tank gains all the while.
const (
	deadGapK     = 40 // far above the tank
	deadFor      = 5 * time.Minute
	deadRun      = 10 * time.Minute // the run must be this old: a hot start takes a moment
	slackGapK    = 15               // clearly above the tank
	slackFor     = 2 * time.Hour
	gainK        = 1    // a tank that has risen so far in a run has won heat
	leastPumpA   = 0.02 // a pump of 10 W draws twice as much
	swingK       = 8
	swingsAnHour = 6
)

// After a run without heat the pump rests, so that it does not run dry for
// hours; after some of them it rests for long.
const (
	effortShortRest = 20 * time.Minute
	effortLongRest  = 4 * time.Hour
	effortStarts    = 3
)

// LoopSigns is the memory of a run of the loop pump, and of runs in vain.
type LoopSigns struct {
	Running  bool          `json:"running"`
	ByCoil   bool          `json:"by_coil"`  // measured at the tank bottom alone
	LowC     float64       `json:"low"`      // coldest that the tank was in the run
	DeadFor  time.Duration `json:"dead_ns"`  // collector far above it without any gain
	SlackFor time.Duration `json:"slack_ns"` // collector clearly above it, likewise
	Gained   bool          `json:"gained"`
	TurnC    float64       `json:"turn"`   // of the collector, at its last turn
	Rises    bool          `json:"rises"`  // since that turn
	Swings   float64       `json:"swings"` // turns in the last hour or so

	Vain  int           `json:"vain"`     // runs in vain, one after the other
	Pause time.Duration `json:"pause_ns"` // rest that is left before the next try
}

func (m *LoopSigns) forgetMoment() {
	*m = LoopSigns{Vain: m.Vain, Pause: m.Pause}
}

// lookAtLoop follows a run of the loop pump: the collector should fall towards
// the tank, and the tank should gain.
func (c *Controller) lookAtLoop(s *system, g *glance) {
	m := &s.mem.Signs.Loop
	m.Pause = max(0, m.Pause-g.span)
	if s.pump == none {
		c.lookForStandstill(s, g)
		return
	}
	current := s.pumpCurrent
	if g.runFor >= time.Minute && current.OK() {
		c.note(FoundPumpNoCurrent, s.index, 0, sees(current.Value < leastPumpA), g.span, because(SawPumpNoCurrent, current.Value, seconds(g.runFor)))
	}
	blurred := g.heaterRest < time.Hour && !s.tankBottom.OK() // the heater warms what is left to look at
	if g.runFor == 0 || !g.gapKnown || blurred {
		m.Running = false
		c.note(FoundPumpMovesNoHeat, s.index, 0, unclear, g.span, Reason{})
		c.note(FoundLoopAir, s.index, 0, unclear, g.span, Reason{})
		c.lookForDryLoop(s, g)
		return
	}
	m.follow(s, g)
	vain := g.runFor >= deadRun && m.DeadFor >= deadFor || m.SlackFor >= slackFor
	if vain {
		m.giveUp()
	} else if m.Gained {
		m.Vain = 0
	}
	turns := current.OK() && current.Value >= leastPumpA
	saw := m.Swings >= swingsAnHour &&
		m.SlackFor >= time.Hour
	c.note(FoundPumpMovesNoHeat, s.index, 0, clearedBy(vain, m.Gained), g.span, because(SawPumpMovesNoHeat, g.collectorC, g.gapK, seconds(g.runFor)))
	c.note(FoundLoopAir, s.index, 0, clearedBy(saw || vain && turns, m.Gained), g.span, because(SawLoopAir, g.gapK, m.Swings))
	c.lookForDryLoop(s, g)
}

// giveUp ends a run in vain.
func (m *LoopSigns) giveUp() {
	m.Vain = min(m.Vain+1, 1000)
	m.Pause = effortShortRest
	if m.Vain > effortStarts {
		m.Pause = effortLongRest
	}
	m.Running, m.DeadFor, m.SlackFor = false, 0, 0
}

// follow takes one look at a run. Heat of the backup heater is no gain of the
// loop, so that only the tank bottom counts while it heats; what was measured
// otherwise is not compared with it.
func (m *LoopSigns) follow(s *system, g *glance) {
	level, byCoil := g.meanC, g.heaterRest < time.Hour
	if byCoil {
		level = g.coilC
	}
	if byCoil != m.ByCoil {
		m.DeadFor, m.SlackFor = 0, 0
	}
	if !m.Running || byCoil != m.ByCoil {
		*m = LoopSigns{Running: true, ByCoil: byCoil, LowC: level, TurnC: g.collectorC, Vain: m.Vain, Pause: m.Pause, DeadFor: m.DeadFor, SlackFor: m.SlackFor}
	}
	m.LowC = min(m.LowC, level)
	m.Gained = m.Gained || level >= m.LowC+gainK
	m.countSwings(g)
	if level >= m.LowC+gainK {
		m.LowC = level
		m.DeadFor, m.SlackFor = 0, 0
		return
	}
	m.DeadFor = longer(m.DeadFor, g.gapK >= deadGapK, g.span)
	m.SlackFor = longer(m.SlackFor, g.gapK >= slackGapK, g.span)
}

// countSwings counts how often the collector turns round by swingK.
func (m *LoopSigns) countSwings(g *glance) {
	m.Swings *= 1 - share(g.span, time.Hour)
	switch {
	case m.Rises && g.collectorC < m.TurnC-swingK, !m.Rises && g.collectorC > m.TurnC+swingK:
		m.Rises, m.TurnC = !m.Rises, g.collectorC
		m.Swings++
	case m.Rises:
		m.TurnC = max(m.TurnC, g.collectorC)
	default:
		m.TurnC = min(m.TurnC, g.collectorC)
	}
}

// longer adds to a time while something holds, and begins anew when not.
func longer(d time.Duration, holds bool, span time.Duration) time.Duration {
	if !holds {
		return 0
	}
	return min(d+span, longestSpan)
}

// A loop without pressure holds no fluid that could be pumped. Without its
// reading, a collector this hot is dry, which a dead pump alone explains as well.
const (
	noPressureBar = 0.05
	dryC          = 165
)

// lookForDryLoop looks for a loop that has lost its fluid.
func (c *Controller) lookForDryLoop(s *system, g *glance) {
	vain := s.mem.Signs.Loop.Vain > 0
	switch {
	case s.loopPressure.OK():
		c.note(FoundLoopDry, s.index, 0, sees(vain && s.loopPressure.Value < noPressureBar), g.span,
			because(SawLoopDryPressure, s.loopPressure.Value))
	case g.gapKnown:
		c.note(FoundLoopDry, s.index, 0, clearedBy(vain && g.collectorC >= dryC, !vain), g.span, because(SawLoopDryHot, g.collectorC))
	}
}
