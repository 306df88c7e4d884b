package control

// loopRule runs the loop pump while the collector brings heat: on from the
// start difference, off at the stop difference, in between as it was.
func (c *Controller) loopRule(s *system) {
	coil, standIn := s.coil()
	if !s.collector.OK() || !coil.OK() {
		s.mem.LoopWanted = false
		return // rule_blind.go keeps the pump off
	}
	gap := s.collector.Value - coil.Value
	s.mem.LoopWanted = gap >= s.set.StartDifferenceK || s.mem.LoopWanted && gap > s.set.StopDifferenceK
	if s.mem.LoopWanted {
		says := SaysLoopGains
		if standIn {
			says = SaysLoopGainsByTop
		}
		c.ballots[s.pump].cast(1, Comfort, because(says, s.collector.Value, gap))
		return
	}
	says := SaysLoopNoGain
	if standIn {
		says = SaysLoopNoGainByTop
	}
	c.ballots[s.pump].idle = because(says, s.collector.Value, coil.Value, s.set.StartDifferenceK)
}
