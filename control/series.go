package control

// heatedAfter gives the system that makes this one's water hot, or none: of tanks
// that the water passes one after the other, the last one whose heater can work.
// Heat from the meter is wanted there alone, just before the taps; in a tank
// before it, it would take room from the sun and be lost on the way.
func (c *Controller) heatedAfter(s *system) int {
	if !c.plan.DrawsInSeries {
		return none
	}
	for i := len(c.systems) - 1; i > s.index; i-- {
		if c.canHeat(&c.systems[i]) {
			return i
		}
	}
	return none
}

// canHeat tells that a system has a heater which nothing is known to keep off but
// its own good time: the tank can be read, it is not locked, and no person has
// switched it off.
func (c *Controller) canHeat(s *system) bool {
	if s.heater == none || !s.tankTop.OK() || s.mem.HeaterLocked {
		return false
	}
	b := &c.ballots[s.heater]
	return !b.byHand() || b.onByHand()
}
