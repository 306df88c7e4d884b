package control

import (
	"time"

	"sunstoker/physics"
)

// lineMost is how long the pipes may stay too cold while the heat of a hygiene
// heat-up is taken through them, before it is given up for a day.
const lineMost = time.Hour

// heatsLine tells whether the pipes are heated with the tank: it is their turn, and
// the tank is still hot enough. A value that stands in starts nothing.
func (s *system) heatsLine(runs bool) bool {
	top := s.tankTop
	return s.mem.LineLeft > 0 && top.Value >= physics.LegionellaReturnC && (runs || !top.HeldOver)
}

// countLine keeps when the pipes are due for their part of a hygiene heat-up: when
// the tank has been held hot, once in half an interval, so that a sunny week does
// not heat them day by day. Only time in which the return is as hot as published
// codes ask for counts; where nothing can read it, all the time of the run does.
// What did not come to its end is tried again the next day.
func (s *system) countLine(runs bool, elapsed time.Duration) {
	m, set := s.mem, s.set
	m.LineSince += elapsed
	if m.LineTry > 0 {
		m.LineTry += elapsed
	}
	switch {
	case m.LineLeft == 0 || !runs || elapsed > longestVouched:
	case s.returnHot():
		if m.LineLeft = max(0, m.LineLeft-elapsed); m.LineLeft == 0 {
			m.LineSince, m.LineTry = 0, 0
		}
	default:
		if m.LineMissed += elapsed; m.LineMissed >= lineMost {
			m.LineLeft = 0
		}
	}
	due := m.HygieneHold >= set.HygieneHold && m.LineSince >= set.HygieneInterval/2
	if due && m.LineLeft == 0 && set.CirculationHygiene > 0 && (m.LineTry == 0 || m.LineTry >= circulationDay) {
		m.LineLeft, m.LineMissed, m.LineTry = set.CirculationHygiene, 0, time.Nanosecond
	}
}

// returnHot tells that the pipes are hot to their end, as far as that can be read.
func (s *system) returnHot() bool {
	r := s.circulationReturn
	return !s.returnWired || r.OK() && !r.HeldOver && r.Value >= physics.LegionellaReturnC
}

// lineOverdue tells that the pipes' part of the hygiene heat-up has not been done
// for so long that a healthy plant would have.
func (s *system) lineOverdue() bool {
	interval := s.set.HygieneInterval
	return interval > 0 && s.set.CirculationHygiene > 0 && s.mem.LineSince > 2*interval+2*hygienePatience
}
