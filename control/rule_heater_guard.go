package control

// heaterGuardRule keeps the backup heater off without a good tank top reading,
// for which nothing may stand in, and on a tank whose hottest good reading is
// at the limit.
func (c *Controller) heaterGuardRule(s *system) {
	if !s.tankTop.OK() {
		c.ballots[s.heater].cast(0, Protect, because(SaysHeaterNoReading))
		return
	}
	s.mem.HeaterTooHot = s.full(s.mem.HeaterTooHot)
	if s.mem.HeaterTooHot {
		hottest, _ := s.hottest()
		c.ballots[s.heater].cast(0, Protect, because(SaysHeaterTankFull, hottest, s.set.TankLimitC-s.set.TankLimitBandK))
	}
}
