package control

// loopEffortRule rests a loop pump that has run without moving any heat
// (finding_loop.go): it may be dry, full of air or stuck. It is tried again a
// few times, then seldom. A person who bleeds the loop may run it by hand, and
// frost protection tries all the same.
func (c *Controller) loopEffortRule(s *system) {
	m := &s.mem.Signs.Loop
	if m.Pause == 0 || s.frostCirculates || c.ballots[s.pump].byHand() {
		return
	}
	c.ballots[s.pump].cast(0, Protect, because(SaysLoopFruitless, float64(m.Vain), seconds(m.Pause)))
}
