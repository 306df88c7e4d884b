package control

import "time"

// Trends of the loop at noon. Common practice, no source.
const (
	steadyRun      = 15 * time.Minute
	gapWeeks       = 8   // learned before anything is compared
	gapGrown       = 1.4 // and two kelvin more
	gapMoreK       = 2
	coilLearned    = 20 * time.Hour // of steady running
	coilShareWorse = 0.7
	coilShareWell  = 0.8
)

// GapSigns is how far the collector stands above the tank in steady runs, and
// how much of that the coil takes.
type GapSigns struct {
	PeakK  float64 `json:"peak"` // today
	WeekK  float64 `json:"week"` // largest of the days of this week
	Days   int     `json:"days"`
	Last1K float64 `json:"last_1"` // of the weeks before
	Last2K float64 `json:"last_2"`
	BestK  float64 `json:"best"` // slowly forgotten largest of the weeks before those
	Weeks  int     `json:"weeks"`

	CoilShare float64       `json:"coil_share"` // of the gap that the fluid gives in the coil, lately
	CoilBest  float64       `json:"coil_best"`  // while it was new
	CoilFor   time.Duration `json:"coil_ns"`
}

// lookAtGap learns how far the collector stands above the tank at noon of good
// days. A weak pump or a blocked strainer raises it; so does a scaled coil.
func (c *Controller) lookAtGap(s *system, g *glance) {
	if s.pump == none {
		return
	}
	m := &s.mem.Signs.Gap
	if g.runFor >= steadyRun && g.gapKnown && c.st.Outputs[s.pump].Level == 1 {
		m.PeakK = max(m.PeakK, g.gapK)
		c.lookAtCoil(s, g)
	}
	if g.dusk && !s.mem.Steaming {
		m.endDay()
	}
	if m.Weeks < gapWeeks || s.loopFlow.OK() {
		return
	}
	limit := gapGrown*m.BestK + gapMoreK
	weak := m.Last1K > limit && m.Last2K > limit
	c.note(FoundPumpWeak, s.index, 0, clearedBy(weak, m.Last1K < limit), g.span, because(SawPumpWeakGap, m.Last1K, m.BestK))
}

// endDay closes a day and, after seven, a week.
func (m *GapSigns) endDay() {
	m.WeekK = max(m.WeekK, m.PeakK)
	m.PeakK = 0
	m.Days++
	if m.Days < 7 {
		return
	}
	if grown := m.Weeks >= gapWeeks && m.Last2K > gapGrown*m.BestK+gapMoreK; !grown {
		m.BestK = max(0.99*m.BestK, m.Last2K)
	}
	m.Last2K, m.Last1K, m.WeekK, m.Days = m.Last1K, m.WeekK, 0, 0
	m.Weeks = min(m.Weeks+1, 10000)
}

// lookAtCoil learns which share of the gap between collector and tank the fluid
// gives to the water: a scaled coil lets it come back hot.
func (c *Controller) lookAtCoil(s *system, g *glance) {
	if !s.coilReturn.OK() || !s.tankBottom.OK() || g.gapK < 10 {
		return
	}
	m := &s.mem.Signs.Gap
	given := max(0, min(1, (g.collectorC-s.coilReturn.Value)/g.gapK))
	if m.CoilFor == 0 {
		m.CoilShare = given
	}
	m.CoilFor = min(m.CoilFor+g.span, longestSpan)
	m.CoilShare += share(g.span, min(m.CoilFor, coilLearned)) * (given - m.CoilShare)
	if m.CoilFor < coilLearned {
		m.CoilBest = m.CoilShare
		return
	}
	c.note(FoundCoilScaled, s.index, 0, clearedBy(m.CoilShare < coilShareWorse*m.CoilBest, m.CoilShare > coilShareWell*m.CoilBest), g.span,
		because(SawCoilScaled, 100*m.CoilShare, 100*m.CoilBest))
}
