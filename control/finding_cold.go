package control

import "time"

// Common practice, no source.
const (
	tankFrostC     = 2
	tankFrostBandK = 2
	frostDay       = 24 * time.Hour
	frostMost      = 4 * time.Hour // of circulation for frost in a day
)

// lookAtCold looks at a tank near freezing, and at frost protection that has
// much to do. A tank bottom alone may be as cold as the water from the mains.
func (c *Controller) lookAtCold(s *system, g *glance) {
	if s.tankKnown {
		c.note(FoundTankNearFreezing, s.index, 0, clearedBy(s.hottestC < tankFrostC, s.hottestC > tankFrostC+tankFrostBandK), g.span, because(SawTankNearFreezing, s.hottestC))
	}
	if s.pump == none || !s.plan.WaterFilled {
		return
	}
	m := &s.mem.Signs.Night
	m.FrostH *= 1 - share(g.span, frostDay)
	if s.frostCirculates {
		m.FrostH += g.span.Hours()
	}
	c.note(FoundFrostRuns, s.index, 0, clearedBy(m.FrostH > frostMost.Hours(), m.FrostH < frostMost.Hours()/2), g.span, because(SawFrostRuns, m.FrostH*3600, g.coilC))
}

// lookAtLastResort tells when the last resort of a loop with antifreeze has come
// to its end.
func (c *Controller) lookAtLastResort(s *system, coldestC float64, elapsed time.Duration) {
	f := c.sign(FoundFrostNotHelped, s.index, 0, s.frostRefused, elapsed)
	switch {
	case f == nil:
	case s.mem.FrostTankCold:
		f.evidence = because(SawLastResortTankCold, coldestC, s.plan.FreezingPointC)
	default:
		f.evidence = because(SawLastResortEnded, coldestC, s.plan.FreezingPointC, float64(s.mem.FrostVain))
	}
}
