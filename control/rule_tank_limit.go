package control

// tankLimitRule brings no more solar heat into a tank whose hottest good
// reading is at the limit. It outranks all care for the collector, which is
// built to stagnate. It does not stand in the way of a loop that takes heat
// out of the tank: the collector is colder, or it can't be read while frost
// protection has cold outdoor air to go by.
func (c *Controller) tankLimitRule(s *system) {
	hottest, ok := s.hottest()
	if !ok {
		return // rule_blind.go keeps the pump off
	}
	s.mem.TankFull = latched(s.mem.TankFull, hottest, s.set.TankLimitC, s.set.TankLimitBandK)
	cools := s.frostCirculates && s.outdoor.OK()
	if s.collector.OK() {
		cools = s.collector.Value < hottest
	}
	if s.mem.TankFull && !cools {
		c.ballots[s.pump].cast(0, Protect, because(SaysTankFull, hottest, s.set.TankLimitC))
	}
}
