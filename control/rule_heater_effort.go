package control

import "time"

// effortK is how far the heater must be able to heat the whole tank before its
// effort is called fruitless, and half as long again; effortSignK is the rise
// of the tank top that proves that it heats.
const (
	effortK      = 50
	effortSignK  = 5
	effortLeast  = 4 * time.Hour
	effortBlind  = 12 * time.Hour              // where volume or power are not known
	effortPause  = 24 * time.Hour              // locked for so long, then one try
	effortOneTry = 30 * time.Minute            // at least; long enough to heat the whole tank by effortSignK
	effortTries  = 1.5 * effortK / effortSignK // that a budget is enough for
)

// heaterEffortRule locks a heater that heats and heats with no sign of it at
// the tank top: the probe may hang in the room while the tank boils, or the
// element may be dead. It is tried once a day after that, for so long that a sound
// heater would show.
func (c *Controller) heaterEffortRule(s *system, elapsed time.Duration) {
	m, top := s.mem, s.tankTop
	on := c.st.Outputs[s.heater].Level > 0
	switch {
	case m.HeaterLocked:
		m.HeaterRest += elapsed
		if m.HeaterRest >= effortPause {
			m.HeaterLocked, m.HeaterEffort, m.HeaterRest = false, max(0, s.heatBudget-s.heaterTry()), 0
		}
	case !top.OK():
	case top.Value >= s.set.HeaterStopC || top.Value >= m.HeaterLowC+effortSignK:
		m.HeaterEffort, m.HeaterLowC = 0, top.Value
	case !on:
		m.HeaterLowC = top.Value
	default:
		m.HeaterLowC = min(m.HeaterLowC, top.Value)
		m.HeaterEffort += elapsed
		m.HeaterLocked = m.HeaterEffort >= s.heatBudget
	}
	if m.HeaterLocked {
		c.ballots[s.heater].cast(0, Protect, because(SaysHeaterLocked, seconds(m.HeaterEffort)))
	}
}

// heaterTry is how long a locked heater is tried.
func (s *system) heaterTry() time.Duration {
	return max(effortOneTry, time.Duration(float64(s.heatBudget)/effortTries))
}

// budgetOf is the heating time after which a heater without any effect is
// locked: half as long again as the whole tank takes to be heated by effortK.
func budgetOf(s *System) time.Duration {
	if s.HeaterW <= 0 || s.TankL <= 0 {
		return effortBlind
	}
	const waterJKgK = 4180
	seconds := 1.5 * s.TankL * waterJKgK * effortK / s.HeaterW
	return max(effortLeast, time.Duration(seconds*float64(time.Second)))
}
