package control

// tankLimitRule brings no more solar heat into a tank whose hottest good
// reading is at the limit. It outranks all care for the collector, which is
// built to stagnate. It does not stand in the way of a loop that takes heat
// out of the tank, or past it into the heat dump.
func (c *Controller) tankLimitRule(s *system) {
	m := s.mem
	m.TankFull = s.full(m.TankFull)
	coil, _ := s.coil()
	m.Cools = s.collector.OK() && coil.OK() && latched(m.Cools, coil.Value-s.collector.Value, 3, 2)
	if !m.TankFull || m.Cools || s.dumps || s.frostCirculates && s.rooflessHeat() {
		return
	}
	hottest, _ := s.hottest()
	coolC := s.set.TankLimitC - s.set.TankLimitBandK
	if hottest < coolC {
		c.ballots[s.pump].cast(0, Protect, because(SaysTankFullUnseen, coolC))
		return
	}
	c.ballots[s.pump].cast(0, Protect, because(SaysTankFull, hottest, coolC))
}
