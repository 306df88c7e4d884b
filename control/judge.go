package control

import (
	"math"
	"time"
)

// skyCoolingK is how far a collector can fall below the outdoor air on a clear
// night; further below means a bad reading. Common practice, no source.
const skyCoolingK = 25

// frozenNeighbourK is how far a neighbour must have moved before an unmoving
// reading is called frozen.
const frozenNeighbourK = 10

// judge turns the readings of this step into judged ones. Readings that are
// not there at all count as missing.
func (c *Controller) judge(readings []Reading, elapsed time.Duration) {
	absent := Reading{Fault: "the reading was not handed over"}
	for i := range c.plan.Probes {
		r := &absent
		if i < len(readings) {
			r = &readings[i]
		}
		c.st.Probes[i].judge(&c.out.Readings[i], r, &placeLimits[c.plan.Probes[i].Place], c.probeSettings[i], elapsed)
	}
	for i := range c.plan.Probes {
		if n := c.neighbours[i]; n != none {
			c.st.Probes[i].judgeFrozen(&c.out.Readings[i], &c.out.Readings[n], c.probeSettings[i], elapsed)
		}
	}
	for i := range c.systems {
		c.judgeAgainstSky(&c.systems[i])
	}
	for i := range c.plan.Probes {
		if c.out.Readings[i].OK() {
			c.st.Probes[i].Silent = 0
		} else {
			c.st.Probes[i].Silent += elapsed
		}
	}
}

// judge looks at one reading by itself: is there a value, is it young enough,
// can it be, and can it have moved there. While a reading fails, the last good
// value stands in until it is too old, so that one bad sample switches nothing.
func (m *ProbeState) judge(j *Judged, r *Reading, lim *placeLimit, set *Settings, elapsed time.Duration) {
	m.Since += elapsed
	j.Value, j.Age, j.Fault = r.Value, r.Age, r.Fault
	switch {
	case r.Fault != "" || math.IsNaN(r.Value) || math.IsInf(r.Value, 0):
		j.Value, m.Doubted = 0, false
		j.Quality, j.Why = Missing, because(SaysNoAnswer)
	case r.Age > set.ReadingAgeLimit || r.Age < 0:
		m.Doubted = false
		j.Quality, j.Why = Missing, because(SaysTooOld, r.Age.Seconds())
	case r.Value < lim.lowC || r.Value > lim.highC:
		m.Doubted = false
		j.Quality, j.Why = Suspect, because(SaysOutOfRange, r.Value, lim.lowC, lim.highC)
	case m.believes(r.Value, lim, set, elapsed):
		if r.Value != m.Last {
			m.Same = 0
		}
		m.Known, m.Last, m.Since, m.Doubted = true, r.Value, r.Age, false
		j.Quality, j.Why = Good, Reason{}
		return
	case m.Known:
		j.Quality, j.Why = Suspect, because(SaysJumped, m.Last, r.Value)
	default:
		j.Quality, j.Why = Suspect, because(SaysSettling)
	}
	if m.Known && m.Since <= set.ReadingAgeLimit {
		j.Value, j.Age = m.Last, m.Since
		j.Quality, j.Why = Good, Reason{}
		return
	}
	m.Known = false
}

// believes tells whether a value in range follows from the last good one, or
// has stayed at a new level for long enough. It is how a power-on value of
// 85 °C is refused and a tank that really reaches 85 °C is not.
func (m *ProbeState) believes(v float64, lim *placeLimit, set *Settings, elapsed time.Duration) bool {
	if m.Known && math.Abs(v-m.Last) <= lim.stepK+lim.rateKPerSecd*m.Since.Seconds() {
		return true
	}
	if !m.Doubted || math.Abs(v-m.Doubt) > lim.stepK+lim.rateKPerSecd*elapsed.Seconds() {
		m.Doubted, m.DoubtFor = true, 0
	} else {
		m.DoubtFor += elapsed
	}
	m.Doubt = v
	return m.DoubtFor >= set.JumpPatience
}

// judgeFrozen doubts a reading that stays the same to the last digit for long
// while its neighbour moves. Real probes flicker in their last digit.
func (m *ProbeState) judgeFrozen(j, neighbour *Judged, set *Settings, elapsed time.Duration) {
	if !j.OK() || !neighbour.OK() {
		return
	}
	if m.Same == 0 {
		m.OtherLow, m.OtherHigh = neighbour.Value, neighbour.Value
	}
	m.Same += elapsed
	m.OtherLow = min(m.OtherLow, neighbour.Value)
	m.OtherHigh = max(m.OtherHigh, neighbour.Value)
	if m.Same >= set.FrozenAfter && m.OtherHigh-m.OtherLow >= frozenNeighbourK {
		j.Quality = Suspect
		j.Why = because(SaysFrozenReading, j.Value, m.Same.Seconds(), m.OtherHigh-m.OtherLow)
	}
}

// judgeAgainstSky doubts a collector that reads further below the outdoor air
// than a clear night sky can cool it: a short in its cable looks like frost.
func (c *Controller) judgeAgainstSky(s *system) {
	if s.collector == nil || s.outdoor == nil || !s.collector.OK() || !s.outdoor.OK() {
		return
	}
	if s.collector.Value < s.outdoor.Value-skyCoolingK {
		s.collector.Quality = Suspect
		s.collector.Why = because(SaysColderThanSky, s.collector.Value, s.outdoor.Value)
	}
}

// neighbour gives the reading whose movement proves that this one should move.
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
	default:
		return p.probeAt(pr.System, Collector)
	}
}
