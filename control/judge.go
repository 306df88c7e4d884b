package control

import (
	"math"
	"time"
)

// skyCoolingK is how far a collector can fall below the outdoor air on a clear
// night; further below means a bad reading. Common practice, no source.
const skyCoolingK = 25

// skyBandK is how much nearer to the air a doubted collector must come to be
// believed again.
const skyBandK = 5

// How far a neighbour must have moved before an unmoving reading is called
// frozen. A collector follows the least swing of the air; a tank may rest.
const (
	frozenNeighbourK = 10
	frozenAirK       = 5

	pumpedFrozenShare = 4 // a tank bottom past which the loop pumps moves so much sooner
)

// watch is one probe as judging sees it.
type watch struct {
	reading *Judged
	mem     *ProbeState
	limit   *placeLimit
	set     *Settings

	// neighbour's movement by movesK proves that this probe should move within
	// frozenAfter; nil when none does. With a mover it proves so only while that
	// output runs.
	neighbour   *Judged
	mover       *OutputState
	movesK      float64
	frozenAfter time.Duration
}

// notHandedOver stands for a reading that Step was not given.
var notHandedOver = Reading{Fault: "the reading was not handed over"}

// judge turns the readings of this step into judged ones. Readings that are
// not there at all count as missing.
func (c *Controller) judge(readings []Reading, elapsed time.Duration) {
	uneasy := false
	for i := range c.watches {
		w, r := &c.watches[i], &notHandedOver
		if i < len(readings) {
			r = &readings[i]
		}
		w.mem.Sample += elapsed
		if w.mem.follows(r, w.limit, w.set) {
			w.mem.accept(w.reading, r)
		} else {
			w.mem.Since += elapsed
			w.mem.judge(w.reading, r, w.limit, w.set)
			uneasy = true
		}
		uneasy = uneasy || w.mem.Silent|w.mem.Trouble != 0
	}
	for i := range c.watches {
		w := &c.watches[i]
		if w.neighbour != nil && w.judgeFrozen(elapsed) {
			uneasy = true
		}
	}
	for i := range c.systems {
		s := &c.systems[i]
		if s.judgePowerUp(elapsed) {
			uneasy = true
		}
		if s.judgeAgainstSky() {
			uneasy = true
		}
		if s.pump != none && s.judgeAgainstPump(c.st.Outputs[s.pump].Level > 0, elapsed) {
			uneasy = true
		}
	}
	c.uneasy = uneasy && c.countTrouble(elapsed)
}

// countTrouble keeps the accounts of the probes that are not, or were lately
// not, as they should be, and tells whether there is one.
func (c *Controller) countTrouble(elapsed time.Duration) (found bool) {
	for i := range c.watches {
		if j, m := c.watches[i].reading, c.watches[i].mem; !j.OK() || j.HeldOver || m.Silent|m.Trouble != 0 {
			m.count(j, elapsed)
			found = true
		}
	}
	return found
}

// mostTrouble bounds the account of bad readings, so that a repaired probe is
// clear within the hour.
const mostTrouble = 20 * time.Minute

// lastingSilence is from when on a failure is no longer one of moments.
const lastingSilence = 2 * time.Minute

// count keeps how long a probe has had no usable value, and an account of bad
// readings that fills while they are bad and empties four times slower while
// they are good: it shows probes that fail again and again for moments.
func (m *ProbeState) count(j *Judged, elapsed time.Duration) {
	if j.OK() {
		m.Silent = 0
	} else {
		m.Silent += elapsed
	}
	switch {
	case j.OK() && !j.HeldOver:
		m.Trouble = max(0, m.Trouble-elapsed/4)
	case m.Silent < lastingSilence:
		m.Trouble = min(mostTrouble, m.Trouble+elapsed)
	}
}

// judge looks at one reading by itself: is there a value, is it young enough,
// can it be, and can it have moved there. While a reading fails, the last good
// value stands in until it is too old, so that one bad sample switches nothing.
// It is called for the samples that do not just follow the last one.
func (m *ProbeState) judge(j *Judged, r *Reading, lim *placeLimit, set *Settings) {
	j.Value, j.Age, j.Fault, j.HeldOver = r.Value, r.Age, r.Fault, false
	switch {
	case r.Fault != "" || math.IsNaN(r.Value) || math.IsInf(r.Value, 0) || r.Age < 0:
		j.Value, m.Doubted = 0, false
		j.Quality, j.Why = Missing, because(SaysNoAnswer)
	case r.Age > set.ReadingAgeLimit:
		m.Doubted = false
		j.Quality, j.Why = Missing, because(SaysTooOld, seconds(r.Age))
	case r.Value < lim.low || r.Value > lim.high:
		m.Doubted = false
		j.Quality, j.Why = Suspect, because(lim.says, r.Value, lim.low, lim.high)
	case m.believes(r, lim, set):
		m.accept(j, r)
		return
	case m.Known:
		j.Quality, j.Why = Suspect, because(SaysJumped, m.Last, r.Value)
	default:
		j.Quality, j.Why = Suspect, because(SaysSettling)
	}
	if m.Known && m.Since <= set.ReadingAgeLimit {
		j.Value, j.Age, j.HeldOver = m.Last, m.Since, true
		j.Quality, j.Why = Good, Reason{}
		return
	}
	m.Known = false
}

// follows is the short way for the usual sample: young, in range and near the
// last good one. What is no number is near to nothing.
func (m *ProbeState) follows(r *Reading, lim *placeLimit, set *Settings) bool {
	return m.Known && !m.Doubted && r.Fault == "" && r.Age >= 0 && r.Age <= set.ReadingAgeLimit &&
		math.Abs(r.Value-m.Last) <= lim.step && r.Value >= lim.low && r.Value <= lim.high
}

// accept takes a sample for good.
func (m *ProbeState) accept(j *Judged, r *Reading) {
	if r.Value != m.Last {
		m.Same = 0
	}
	if m.Sample-r.Age >= sampleGap {
		m.Sample = r.Age
	}
	m.Known, m.Last, m.Since, m.Doubted = true, r.Value, r.Age, false
	j.Value, j.Age, j.HeldOver = r.Value, r.Age, false
	if j.Quality != Good || j.Fault != "" { // else there is nothing to wipe
		j.Quality, j.Why, j.Fault = Good, Reason{}, ""
	}
}

// sampleGap is the least difference in age that tells two samples apart.
const sampleGap = 10 * time.Millisecond

// believes tells whether a value in range follows from the last good one, or
// has stayed at a new level for long enough, over at least two samples more. It
// is how a power-on value of 85 °C is refused and a tank that really reaches
// 85 °C is not. A single sample that strays while a new level is watched is
// passed over.
func (m *ProbeState) believes(r *Reading, lim *placeLimit, set *Settings) bool {
	between := m.Sample - r.Age
	fresh := between >= sampleGap
	if fresh {
		m.Sample = r.Age
		m.countPowerUp(r.Value)
	}
	allowedK := func(d time.Duration) float64 { return lim.step + lim.ratePerS*seconds(d) }
	if m.Known && math.Abs(r.Value-m.Last) <= allowedK(min(m.Since, set.ReadingAgeLimit)) {
		return true
	}
	switch {
	case m.Doubted && !fresh:
	case m.Doubted && math.Abs(r.Value-m.Doubt) <= allowedK(min(between, set.ReadingAgeLimit)):
		m.DoubtFor += between
		m.Doubt, m.Strayed = r.Value, false
	case m.Doubted && !m.Strayed:
		m.DoubtFor += between
		m.Strayed = true
		return false
	default:
		m.Doubted, m.Strayed, m.DoubtFor, m.Doubt = true, false, 0, r.Value
	}
	return m.DoubtFor >= set.JumpPatience
}

// judgeFrozen doubts a reading that stays the same to the last digit for long
// while its neighbour moves, and tells so. Real probes flicker in their last
// digit. While the mover rests or the neighbour can't be read nothing proves
// anything, and what was proven stays until the reading moves.
func (w *watch) judgeFrozen(elapsed time.Duration) bool {
	j, m := w.reading, w.mem
	if !j.OK() {
		return false
	}
	if w.neighbour.OK() && (w.mover == nil || w.mover.Level > 0) {
		m.countSame(w.neighbour.Value, elapsed)
	}
	if m.Same < w.frozenAfter || m.OtherHigh-m.OtherLow < w.movesK {
		return false
	}
	j.Quality = Suspect
	j.Why = because(SaysFrozenReading, j.Value, seconds(m.Same), m.OtherHigh-m.OtherLow)
	return true
}

// countSame counts how long a reading has been the same, and what its neighbour
// did in that time.
func (m *ProbeState) countSame(neighbour float64, elapsed time.Duration) {
	if m.Same == 0 { // it has just moved, or time stands
		m.Same = elapsed
		m.OtherLow, m.OtherHigh = neighbour, neighbour
		return
	}
	m.Same += elapsed
	// A good value is a number, so that the dearer min and max are not needed.
	if neighbour < m.OtherLow {
		m.OtherLow = neighbour
	} else if neighbour > m.OtherHigh {
		m.OtherHigh = neighbour
	}
}

// stillPatience is how long a pump may run, run by run, without the collector's
// reading moving by a digit, while the tank moves by stillTankK: the fluid of the
// tank passes a real one.
const (
	stillPatience = 20 * time.Minute
	stillTankK    = 2
)

// judgeAgainstPump doubts a collector that stays the same to the last digit while
// the pump runs and the tank moves, and tells so.
func (s *system) judgeAgainstPump(runs bool, elapsed time.Duration) bool {
	m := s.mem
	if !s.collector.OK() || s.collector.HeldOver {
		return false
	}
	if s.collectorProbe.Same <= elapsed { // it has just moved
		m.StillRun, m.StillLowC, m.StillHighC = 0, 0, 0
		return false
	}
	if coil, _ := s.coil(); runs && coil.OK() {
		if m.StillRun == 0 {
			m.StillLowC, m.StillHighC = coil.Value, coil.Value
		}
		m.StillRun += elapsed
		m.StillLowC, m.StillHighC = min(m.StillLowC, coil.Value), max(m.StillHighC, coil.Value)
	}
	if m.StillRun < stillPatience || m.StillHighC-m.StillLowC < stillTankK {
		return false
	}
	s.collector.Quality = Suspect
	s.collector.Why = because(SaysStillWhilePumped, s.collector.Value, seconds(m.StillRun), m.StillHighC-m.StillLowC)
	return true
}

// powerUpC is what a digital probe gives before its first conversion (DS18B20
// datasheet), and for good when it never gets to one. A tank bottom that has it to
// the last digit, far hotter than the top above it, is no water.
const (
	powerUpC        = 85
	powerUpOverK    = 15
	powerUpPatience = 10 * time.Minute
)

// judgePowerUp doubts a tank bottom that stands at the power-up value, and tells so.
func (s *system) judgePowerUp(elapsed time.Duration) bool {
	if s.tankBottom.Value != powerUpC || !s.tankBottom.OK() {
		if s.bottomProbe != nil {
			s.bottomProbe.PowerUpFor = 0
		}
		return false
	}
	m := s.bottomProbe
	if !s.tankTop.OK() || s.tankTop.Value > powerUpC-powerUpOverK {
		m.PowerUpFor = 0
		return false
	}
	if m.PowerUpFor = min(m.PowerUpFor+elapsed, longestSpan); m.PowerUpFor < powerUpPatience {
		return false
	}
	s.tankBottom.Quality = Suspect
	s.tankBottom.Why = because(SaysPowerUp, s.tankBottom.Value, seconds(m.PowerUpFor), s.tankTop.Value)
	return true
}

// judgeAgainstSky doubts a collector that reads further below the outdoor air
// than a clear night sky can cool it, and tells so. Either its cable has a
// short, which looks like frost, or the outdoor probe stands too warm:
// rule_frost.go takes both into account. A doubt outlasts the outdoor probe for as
// long as the collector reads frost, so that frost protection never runs by it alone.
func (s *system) judgeAgainstSky() bool {
	m := s.mem
	switch {
	case !s.collector.OK() || s.outdoorProbe == nil:
		m.BelowSky = false
	case s.outdoor.OK():
		m.BelowSky = latched(m.BelowSky, s.outdoor.Value-s.collector.Value, skyCoolingK, skyBandK)
	default:
		m.BelowSky = m.BelowSky && s.collector.Value < 0
	}
	if !m.BelowSky {
		return false
	}
	s.collector.Quality = Suspect
	s.collector.Why = because(SaysColderThanSky, s.collector.Value, s.outdoorProbe.Last)
	return true
}

// neighbour gives the reading whose movement proves that this one should move,
// or none.
func (p *Plan) neighbour(probe int) int {
	pr := p.Probes[probe]
	switch pr.Place {
	case Collector:
		if n := p.probeAt(House, OutdoorAir); n != none {
			return n
		}
		return p.probeAt(pr.System, TankTop)
	case OutdoorAir:
		return p.probeAt(0, Collector)
	case TankTop, TankBottom:
		return p.probeAt(pr.System, Collector)
	}
	return none
}
