package control

// A tank in a house that nobody heats: water at the tank top this cold calls for
// warmth, and so does water at the bottom that is colder than mains water ever
// is; both end when the top is warm enough to reach down. Common practice, no
// source.
const (
	tankFrostTopC    = 4
	tankFrostBottomC = 1
	tankFrostEndC    = 15
)

// tankFrostRule keeps a tank from freezing by its backup heater, whatever
// windows, floor and holiday say. It needs a good tank top reading, and believes
// none that a warmer tank bottom contradicts. A heater that a person has switched
// off, and a plant that somebody works on, it leaves alone: the tank may have
// been drained.
func (c *Controller) tankFrostRule(s *system) {
	m, top, bottom := s.mem, s.tankTop, s.tankBottom
	if !top.OK() || bottom.OK() && bottom.Value > tankFrostEndC || c.st.Servicing || c.ballots[s.heater].byHand() {
		m.TankFreezes = false
		return
	}
	cold := top.Value <= tankFrostTopC && !top.HeldOver || bottom.OK() && bottom.Value <= tankFrostBottomC && !bottom.HeldOver
	m.TankFreezes = top.Value < tankFrostEndC && (cold || m.TankFreezes)
	if m.TankFreezes {
		c.ballots[s.heater].cast(1, Protect, because(SaysTankFrost, top.Value, tankFrostEndC))
	}
}
