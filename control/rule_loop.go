package control

import "time"

// loopEndedLately is how long after its stop a pump is said to have stopped,
// and not to be waiting for its start.
const loopEndedLately = time.Minute

// loopRule runs the loop pump while the collector brings heat: on from the
// start difference, off at the stop difference, in between as it was. How fast
// it turns is said by rule_pump_speed.go, and how it is spared in a weak sun by
// rule_loop_saving.go.
func (c *Controller) loopRule(s *system, elapsed time.Duration) {
	coil, standIn := s.coil()
	if !s.collector.OK() || !coil.OK() {
		s.mem.LoopWanted = false
		return // rule_blind.go keeps the pump off
	}
	gap := s.collector.Value - coil.Value
	// A value that only stands in for a bad sample may let the pump run on, but
	// does not start it.
	liftK, waits := c.spareLoop(s, gap, standIn, elapsed)
	startK, stopK := s.set.StartDifferenceK+liftK, s.set.StopDifferenceK+liftK
	ready := gap >= startK && !s.collector.HeldOver && !coil.HeldOver
	starts := ready && !waits
	stops := s.mem.LoopWanted && gap <= stopK
	s.mem.LoopWanted = starts || s.mem.LoopWanted && !stops
	pump := &c.st.Outputs[s.pump]
	s.mem.LoopEnds = stops || s.mem.LoopEnds && !starts && (pump.Level > 0 || pump.InState < loopEndedLately)
	if s.mem.LoopWanted {
		s.mem.Saving.Gathers = false
		level, nearLimit := c.pumpSpeed(s, gap, standIn, elapsed)
		says := SaysLoopGains
		switch {
		case standIn:
			says = SaysLoopGainsByTop
		case nearLimit:
			says = SaysLoopFull
		case level < 1:
			says = SaysLoopSlowed
		}
		c.ballots[s.pump].cast(level, Comfort, because(says, s.collector.Value, gap, s.set.TargetDifferenceK))
		return
	}
	says := SaysLoopNoGain
	if s.mem.LoopEnds {
		c.ballots[s.pump].rest(SaysLoopEnds, s.collector.Value, gap, stopK)
		return
	}
	m := &s.mem.Saving
	m.Gathers = waits && latched(m.Gathers, gap, startK, gatherBandK)
	if m.Gathers {
		c.ballots[s.pump].rest(SaysLoopGathers, s.collector.Value, gap, s.gatherS(gap))
		return
	}
	if standIn {
		says = SaysLoopNoGainByTop
	}
	c.ballots[s.pump].rest(says, s.collector.Value, coil.Value, startK)
}
