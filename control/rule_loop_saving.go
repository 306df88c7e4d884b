package control

import (
	"fmt"
	"math"
	"time"
)

// What a loop pump's starts and hours are spared by, at pump_saving = 100 %.
// Found by trial in simulated years of eight places (make pump-trial): in the
// middle these figures give up half a hundredth of the sun's heat for a fifth of the
// pump's electricity. Tanks with a coil in cloudy places pay most: up to a
// hundredth and a half for an eighth.
//
// Waiting costs what the collector loses meanwhile, which grows with the sum of
// its gap over time; starting costs a run's heating of the pipes, and the relay's
// life. Of a steady sun the cheapest waiting is one whose sum is worth one start,
// whatever the sun's strength (the sum of a cost that grows with the square of
// the waiting and of one that is shared out over it). A strong sun comes to it
// within minutes, a weak one late.
//
// A coil gives a part of each run's heat back to the collector, so that the heat
// of few hot runs costs more there, and less of it is worth while.
var (
	coilSaving  = savingFigures{waitKS: 85 * 60, coolShare: 0.1, hotShare: 0.38}
	storeSaving = savingFigures{waitKS: 200 * 60, coolShare: 0.32, hotShare: 0.44}
)

// savingFigures are what a pump's starts and hours are spared by: the sum of the
// gap above the stop difference, in K s, at which a start is worth it, and the
// shares of the gap in good sun at which running is no longer, in a tank as cool
// as the heater makes it and in one that is hotter.
type savingFigures struct{ waitKS, coolShare, hotShare float64 }

const (
	savingWarmK = 8  // above heater_stop, from where on a tank counts as hotter
	savingMostK = 35 // a gap from which on nothing waits
	waitForgets = 30 * time.Minute
	gatherBandK = 1 // below the start difference, down to where a wait is told of
)

// The gap in good sun is learned from steady runs at full flow. It follows a
// stronger sun within goodSunRises of running and forgets itself over
// goodSunFades of it, a month or two, so that it follows seasons and repairs.
const (
	goodSunSteady = 5 * time.Minute // the run must be this old
	goodSunRises  = 10 * time.Minute
	goodSunFades  = 200 * time.Hour
	goodSunKnown  = 10 * time.Hour // of steady running; nothing is spared before
)

// PumpSaving is what the rule for sparing the loop pump has learned of its loop,
// and how long it has waited.
type PumpSaving struct {
	GoodSunK float64       `json:"good_sun"`   // gap between collector and tank bottom at full flow in good sun
	RanFor   time.Duration `json:"ran_ns"`     // steady running that it was learned from
	WaitedKS float64       `json:"waited_k_s"` // sum of the gap above the stop difference, since the last run
	Gathers  bool          `json:"gathers"`    // a start is held back
}

// spareLoop tells by how much both differences of the loop pump are lifted, and
// whether a start waits until the collector has gathered more heat. A collector
// near the restart ceiling, a tank whose bottom can't be read and a loop that is
// not known yet spare nothing. A pump whose speed is set runs slowly in a weak
// sun instead of stopping earlier.
func (c *Controller) spareLoop(s *system, gapK float64, standIn bool, elapsed time.Duration) (liftK float64, waits bool) {
	m, set := &s.mem.Saving, s.set
	if set.PumpSavingPercent == 0 {
		return 0, false
	}
	c.learnLoop(s, gapK, standIn, elapsed)
	part, f := set.PumpSavingPercent/100, s.savingFigures()
	hot := s.collector.Value >= set.RestartCeilingC-set.RestartCeilingBandK-speedRoomK
	if standIn || hot || m.RanFor < goodSunKnown {
		return 0, false
	}
	if c.limits[s.pump].leastLevel == 0 {
		spare := min(max((s.hottestC-set.HeaterStopC)/savingWarmK, 0), 1)
		share := f.coolShare + (f.hotShare-f.coolShare)*spare
		liftK = min(max(part*share*m.GoodSunK-set.StopDifferenceK, 0), set.StartDifferenceK)
	}
	return liftK, gapK < savingMostK && m.WaitedKS < part*f.waitKS
}

// UsualPumpSaving is how far a loop pump is spared, %, where nobody has said it. A
// pump that is only on or off brings less of the sun's heat for it than it saves
// electricity, by a little with a store of loop fluid in a sunny place and more
// with a coil or in a cloudy one (make pump-trial); so it is spared only if
// asked. A pump whose speed is set gains both ways.
func UsualPumpSaving(pump *Output) float64 {
	if pump.LeastLevel == 0 {
		return 0
	}
	return DefaultSettings().PumpSavingPercent
}

// savingFigures are those of the system's kind of tank.
func (s *system) savingFigures() *savingFigures {
	if s.plan.LoopFluidStore {
		return &storeSaving
	}
	return &coilSaving
}

// gatherS is how long the collector will gather heat before it starts, s, if its
// gap stays as it is.
func (s *system) gatherS(gapK float64) float64 {
	m, set := &s.mem.Saving, s.set
	return max(0, set.PumpSavingPercent/100*s.savingFigures().waitKS-m.WaitedKS) / max(gapK-set.StopDifferenceK, 1)
}

// learnLoop follows the gap in good sun, and sums up the waiting.
func (c *Controller) learnLoop(s *system, gapK float64, standIn bool, elapsed time.Duration) {
	m, pump := &s.mem.Saving, &c.st.Outputs[s.pump]
	if pump.Level == 0 {
		m.wait(gapK-s.set.StopDifferenceK, elapsed)
		return
	}
	m.WaitedKS = 0
	// A gap of a loop that moves nothing says nothing of the sun.
	if pump.Level < 1 || pump.InState < goodSunSteady || standIn || gapK <= 0 || gapK >= deadGapK {
		return
	}
	m.RanFor = min(m.RanFor+elapsed, longestSpan)
	if gapK > m.GoodSunK {
		m.GoodSunK += (gapK - m.GoodSunK) * share(elapsed, goodSunRises)
	} else {
		m.GoodSunK -= m.GoodSunK * share(elapsed, goodSunFades)
	}
}

// wait sums up what lies above the stop difference, and forgets it while nothing
// does.
func (m *PumpSaving) wait(aboveK float64, elapsed time.Duration) {
	if aboveK > 0 {
		m.WaitedKS = math.Min(m.WaitedKS+aboveK*seconds(elapsed), mostWaitedKS)
	} else {
		m.WaitedKS -= m.WaitedKS * share(elapsed, waitForgets)
	}
}

// mostWaitedKS is more than any waiting is worth.
const mostWaitedKS = 1e5

// check refuses what no run of this program can have learned.
func (m *PumpSaving) check(system string) error {
	if !(m.GoodSunK >= 0 && m.GoodSunK <= deadGapK && m.WaitedKS >= 0 && m.WaitedKS <= mostWaitedKS) {
		return fmt.Errorf("control: the saved state has a gap of %g K in good sun and a waiting of %g K s for the loop of %q", m.GoodSunK, m.WaitedKS, system)
	}
	return nil
}
