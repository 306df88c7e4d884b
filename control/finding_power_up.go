package control

import "time"

// A probe that gives its power-up value again and again has no steady supply. Common
// practice, no source.
const (
	manyPowerUps = 5
	mostPowerUps = 10        // so that a repaired probe is clear within a day
	powerUpFades = time.Hour // takes one off the account
)

// countPowerUp counts a sample that jumps to the value of before the first
// conversion. A probe that stays there is another matter.
func (m *ProbeState) countPowerUp(value float64) {
	if value == powerUpC && m.Known && !(m.Doubted && m.Doubt == powerUpC) {
		m.PowerUps = min(m.PowerUps+1, mostPowerUps)
	}
}

// lookAtPowerUps looks for probes that lose their supply for moments. No single
// sample of theirs is taken for a temperature, so that nothing else may show it.
func (c *Controller) lookAtPowerUps(span time.Duration) {
	for i := range c.st.Probes {
		m, pr := &c.st.Probes[i], c.plan.Probes[i]
		if m.PowerUps == 0 && !c.raised(FoundProbePowersUp, pr.System, int(pr.Place)) {
			continue
		}
		c.note(FoundProbePowersUp, pr.System, int(pr.Place), clearedBy(m.PowerUps >= manyPowerUps, m.PowerUps == 0), span, because(SawProbePowersUp, powerUpC, m.PowerUps))
		m.PowerUps = max(0, m.PowerUps-float64(span)/float64(powerUpFades))
	}
}
