package control

import "time"

// Figures of the hot-water circulation. Common practice, no source, unless one
// is named.
const (
	circulationBandK = 5   // that the return cools before the pump starts again
	circulationLossK = 5   // that the ring loses at most: its return gets no hotter than the tank top less this
	coldTankBandK    = 3   // that a tank too cold for it warms up before the pump may run
	drawSignLMin     = 0.5 // flow from which somebody draws water
	buttonPressed    = 0.5
	circulationDay   = 24 * time.Hour
	// circulationPause keeps its relay from chattering: it is run and rest alike.
	circulationPause = 30 * time.Second
)

// circulationRule keeps the pipe to the taps hot when hot water is likely to be
// wanted: inside its windows until the return is warm, and for a while when a
// draw begins or somebody presses the button. It rests on a tank that has no hot
// water to give or can't be read, in a holiday, and when it has run for its
// share of the day. Hygiene of the pipes is in rule_circulation_hygiene.go.
func (c *Controller) circulationRule(s *system, elapsed time.Duration) {
	m, set, top := s.mem, s.set, s.tankTop
	b := &c.ballots[s.circulation]
	c.countCirculation(s, elapsed)
	asked := s.asksForWater()
	if asked && !m.WaterAsked {
		m.CirculationLeft = set.CirculationRun
	} else {
		m.CirculationLeft = max(0, m.CirculationLeft-elapsed)
	}
	m.WaterAsked = asked
	if !top.OK() {
		m.LineLeft = 0
		b.rest(SaysCirculationBlind, 0, 0, 0)
		return
	}
	if c.onHoliday() {
		m.CirculationLeft, m.LineLeft = 0, 0
		b.rest(SaysHoliday, top.Value, seconds(c.st.HolidayLeft), 0)
		return
	}
	m.CirculationCold = latched(m.CirculationCold, -top.Value, -set.TapC, coldTankBandK)
	stopC := min(set.CirculationStopC, top.Value-circulationLossK)
	m.CirculationWarm = s.circulationReturn.OK() && latched(m.CirculationWarm, s.circulationReturn.Value, stopC, circulationBandK)
	switch {
	case s.heatsLine(c.st.Outputs[s.circulation].Level > 0):
		b.cast(1, Hygiene, because(SaysCirculationHygiene, seconds(m.LineLeft)))
	case m.CirculationCold:
		m.LineLeft = 0
		b.rest(SaysCirculationTankCold, top.Value, set.TapC, 0)
	case m.CirculationWarm:
		b.rest(SaysCirculationWarm, s.circulationReturn.Value, stopC, 0)
	case m.CirculationRan >= set.CirculationDaily:
		b.rest(SaysCirculationSpent, seconds(m.CirculationRan), 0, 0)
	case top.HeldOver && c.st.Outputs[s.circulation].Level == 0:
		b.rest(SaysCirculationBlind, 0, 0, 0) // a stand-in starts nothing
	case m.CirculationLeft > 0:
		b.cast(1, Comfort, because(SaysCirculationAsked, seconds(m.CirculationLeft)))
	case s.circulationWindow && s.circulationReturn.OK():
		b.cast(1, Comfort, because(SaysCirculationWindow, s.circulationReturn.Value, stopC))
	case s.circulationWindow:
		b.cast(1, Comfort, because(SaysCirculationUnmetered))
	case !c.clockSet:
		b.rest(SaysCirculationClock, 0, 0, 0)
	default:
		b.rest(SaysCirculationOutside, 0, 0, 0)
	}
}

// asksForWater tells whether somebody draws water or presses the button. A value
// that stands in asks for nothing.
func (s *system) asksForWater() bool {
	return s.drawFlow.OK() && !s.drawFlow.HeldOver && s.drawFlow.Value >= drawSignLMin ||
		s.button.OK() && !s.button.HeldOver && s.button.Value >= buttonPressed
}

// countCirculation keeps how long the pump has run in this day, which begins with
// its first run after the last one.
func (c *Controller) countCirculation(s *system, elapsed time.Duration) {
	m := s.mem
	runs := c.st.Outputs[s.circulation].Level > 0
	if runs {
		m.CirculationRan += elapsed
	}
	if m.CirculationRan > 0 {
		m.CirculationDay += elapsed
	}
	if m.CirculationDay >= circulationDay {
		m.CirculationRan, m.CirculationDay = 0, 0
	}
	s.countLine(runs, elapsed)
}
