package control

import "time"

// Trends of the loop at noon. Common practice, no source.
const (
	steadyRun      = 15 * time.Minute
	gapWeeks       = 26 // learned before anything is compared: a summer and some winter
	gapYear        = 40 // weeks that are usual
	gapGrown       = 1.2
	gapWell        = 1.1
	gapMoreK       = 0.5
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
	LateK  float64 `json:"late"`  // mean of some weeks
	UsualK float64 `json:"usual"` // likewise, of all seasons
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
		m.endDay(c.raised(FoundPumpWeak, s.index, 0))
	}
	if m.Weeks < gapWeeks || s.loopFlow.OK() {
		return
	}
	c.note(FoundPumpWeak, s.index, 0, clearedBy(m.weak(), m.LateK < gapWell*m.UsualK+gapMoreK), g.span, because(SawPumpWeakGap, m.LateK, m.UsualK))
}

// weak tells that the gap of late is larger than weather and seasons make it.
func (m *GapSigns) weak() bool { return m.LateK > gapGrown*m.UsualK+gapMoreK }

// endDay closes a day on which the pump has run in the sun and, after seven, a
// week. What is usual is not learned from a fault.
func (m *GapSigns) endDay(faulty bool) {
	if m.PeakK == 0 {
		return
	}
	m.WeekK = max(m.WeekK, m.PeakK)
	m.PeakK = 0
	if m.Days++; m.Days < 7 {
		return
	}
	if m.Weeks == 0 {
		m.LateK, m.UsualK = m.WeekK, m.WeekK
	}
	m.Weeks = min(m.Weeks+1, 10000)
	m.LateK += (m.WeekK - m.LateK) / float64(min(m.Weeks, 4))
	switch {
	case m.Weeks <= gapWeeks:
		m.UsualK += (m.WeekK - m.UsualK) / float64(m.Weeks)
	case !faulty && !m.weak():
		m.UsualK += (m.WeekK - m.UsualK) / gapYear
	}
	m.WeekK, m.Days = 0, 0
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
