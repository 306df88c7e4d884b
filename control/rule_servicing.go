package control

// servicingRule holds every output off while a person works on the plant. An
// output that is overridden by hand, to try it, is left to the person and the
// other protections.
func (c *Controller) servicingRule() {
	if !c.st.Servicing {
		return
	}
	for i := range c.ballots {
		if !c.ballots[i].byHand() {
			c.ballots[i].cast(0, Protect, Reason{Words: SaysServicing})
		}
	}
}
