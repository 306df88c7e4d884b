package control

// blindRule keeps the loop pump off while collector or tank can't be read:
// what is unknown must not be taken for "not steaming" or "not too hot". Frost
// protection, which is judged by the outdoor air as well, is let through.
func (c *Controller) blindRule(s *system) {
	switch {
	case s.collector.OK() && s.tankKnown, s.frostCirculates:
	case !s.collector.OK():
		c.ballots[s.pump].cast(0, Protect, because(SaysLoopNoCollector))
	default:
		c.ballots[s.pump].cast(0, Protect, because(SaysLoopNoTank))
	}
}
