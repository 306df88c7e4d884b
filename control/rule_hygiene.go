package control

import "time"

// hygieneBandK is how far above the hygiene temperature the heater goes before
// it pauses, so that the hold is not broken by its hysteresis.
const hygieneBandK = 2

// hygieneLogs is how many powers of ten the germs in clean water must fall by in
// a heat-up, by the more cautious of the published figures; settings that give
// less are refused. It is what thermal disinfection is asked for (from memory).
const hygieneLogs = 5

// hygienePatience is how long a due heat-up may wait for its windows when the
// clock is not set.
const hygienePatience = 24 * time.Hour

// longestVouched is how long a step may be for its readings to speak for all of
// it. What was in a longer one, as of a program that was stopped and went on, nobody
// knows, so that no heat-up of tank or pipes is held over it.
const longestVouched = 2 * time.Minute

// hygieneRule sees to it that the tank top is held at the hygiene temperature
// once in every interval of service time. Sun and heater count alike: only what
// the sun has not done is heated. Nothing is claimed without a good reading
// that follows its tank, and nothing is heated where no tempering valve is known of.
func (c *Controller) hygieneRule(s *system, elapsed time.Duration) {
	m, set := s.mem, s.set
	if set.HygieneInterval == 0 {
		m.HygieneSince, m.HygieneHold, m.HygieneStill, m.HygieneHeating = 0, 0, 0, false
		return
	}
	m.HygieneSince += elapsed
	top := s.tankTop
	stuck := m.Signs.Pocket.TopStuck
	if top.Why.Words == SaysFrozenReading {
		s.takeClaimBack(s.topProbe.Same)
	}
	if !top.OK() || stuck || top.Value < set.HygieneC || elapsed > longestVouched {
		m.HygieneHold, m.HygieneStill = 0, 0
	} else if !top.HeldOver { // what only stands in for a reading proves nothing
		m.holdHygiene(top.Value, elapsed)
	}
	if m.HygieneHold >= set.HygieneHold {
		m.HygieneSince, m.HygieneHeating = m.HygieneStill, false
		return
	}
	if !s.plan.Tempered || !top.OK() || stuck || !c.hygieneDue(s) {
		m.HygieneHeating = false
		return
	}
	m.HygieneHeating = top.Value < set.HygieneC+1 || m.HygieneHeating && top.Value < set.HygieneC+hygieneBandK
	if m.HygieneHeating && s.heater != none {
		c.ballots[s.heater].cast(1, Hygiene, because(SaysHygiene, top.Value, set.HygieneC, (set.HygieneHold-m.HygieneHold).Seconds()))
	}
}

// holdHygiene counts how long the top has been proven hot: up to when its reading
// last moved by a digit. What is cooling, heated or drawn from moves it within the
// hour; a probe that hangs does not, and its hold comes to nothing.
func (m *SystemState) holdHygiene(topC float64, elapsed time.Duration) {
	m.HygieneStill += elapsed
	if topC != m.HygieneTopC || m.HygieneHold == 0 {
		m.HygieneTopC = topC
		m.HygieneHold, m.HygieneStill = m.HygieneHold+m.HygieneStill, 0
	}
}

// takeClaimBack makes a heat-up due again that was claimed by a probe while it
// stood still for so long: found frozen or stuck hot, it has proved nothing since it
// last moved. Where the return of the pipes is not read, their part rests on the
// same claim.
func (s *system) takeClaimBack(still time.Duration) {
	m, interval := s.mem, s.set.HygieneInterval
	if m.HygieneSince < still {
		m.HygieneSince = max(m.HygieneSince, interval)
	}
	if m.LineSince < still && !s.returnWired {
		m.LineSince = max(m.LineSince, interval)
	}
}

// hygieneDue tells whether a heat-up is due now: the interval is over, its
// windows are open, and somebody is at home to draw the water. One that has
// begun is carried through.
func (c *Controller) hygieneDue(s *system) bool {
	over := s.mem.HygieneSince - s.set.HygieneInterval
	switch {
	case c.onHoliday() && s.mem.HygieneHold == 0:
		return false
	case over < 0:
		return c.hygieneAhead(s, -over)
	case s.mem.HygieneHold > 0 || s.set.HygieneWindows.Always():
		return true
	case c.clockSet:
		return s.set.HygieneWindows.Contain(c.minute)
	}
	return over >= hygienePatience
}
