package control

// servicingRule holds every output off while a person works on the plant. An
// output that is switched on by hand, to try it, is left to the person and the
// other protections. One that is switched off by hand is held off like the rest:
// else frost protection, which outranks the hand, would start a pump that somebody
// has their fingers in.
func (c *Controller) servicingRule() {
	if !c.st.Servicing {
		return
	}
	for i := range c.ballots {
		if !c.ballots[i].onByHand() {
			c.ballots[i].cast(0, Protect, Reason{Words: SaysServicing})
		}
	}
}
