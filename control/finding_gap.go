package control

import "time"

// Trends of the loop at noon. Common practice, no source.
const (
	steadyRun      = 15 * time.Minute
	gapWeeks       = 26 // learned before the seasons are known: a summer and some winter
	stepWeeks      = 4  // learned before a step is looked for, which no season makes,
	stepGrown      = 1.4
	stepLasts      = 2  // and for so many weeks in a row
	gapYear        = 40 // weeks that are usual
	gapGrown       = 1.3
	gapWell        = 1.15
	gapMoreK       = 0.5
	gapRiseKMin    = 0.2            // a draw lets it jump; what the sun brings lasts
	gapClearWM2    = 400            // of clear sky: less proves little
	coilLearned    = 20 * time.Hour // of steady running
	coilShareWorse = 0.7
	coilShareWell  = 0.8
)

// GapSigns is how far the collector stands above the tank in steady runs, and
// how much of that the coil takes.
type GapSigns struct {
	Plain GapTrend `json:"plain"`
	Lit   GapTrend `json:"lit"`  // as if the clear sky sent 1000 W/m²
	HeldK float64  `json:"held"` // what it has been for some time
	Days  int      `json:"days"`
	Weeks int      `json:"weeks"`
	Steps int      `json:"steps"` // weeks in a row in which it was far larger than just before

	CoilShare float64       `json:"coil_share"` // of the gap that the fluid gives in the coil, lately
	CoilBest  float64       `json:"coil_best"`  // while it was new
	CoilFor   time.Duration `json:"coil_ns"`
}

// GapTrend is how that goes on from week to week.
type GapTrend struct {
	PeakK  float64 `json:"peak"`  // today
	WeekK  float64 `json:"week"`  // largest of the days of this week
	LateK  float64 `json:"late"`  // mean of some weeks
	LastK  float64 `json:"last"`  // in the last full week
	JustK  float64 `json:"just"`  // mean of some weeks, but for those of a step
	UsualK float64 `json:"usual"` // likewise, of all seasons
}

// lookAtGap learns how far the collector stands above the tank at noon of good
// days. A weak pump or a blocked strainer raises it; so does a scaled coil. The
// seasons swing the gap itself at some places, and its ratio to the light of a
// clear sky at others: a fault raises both.
func (c *Controller) lookAtGap(s *system, g *glance) {
	if s.pump == none {
		return
	}
	m := &s.mem.Signs.Gap
	if g.runFor >= steadyRun && g.gapKnown && c.st.Outputs[s.pump].Level == 1 {
		m.see(g.gapK, g.span, s.mem.Signs.Yield.ClearWM2)
		c.lookAtCoil(s, g)
	}
	if g.dusk && !s.mem.Steaming {
		m.endDay(c.raised(FoundPumpWeak, s.index, 0))
	}
	if s.loopFlow.OK() {
		return
	}
	switch {
	case m.Steps >= stepLasts:
		c.note(FoundPumpWeak, s.index, 0, present, g.span, because(SawPumpWeakStep, m.Plain.LastK, m.Plain.JustK))
	case m.Weeks >= gapWeeks:
		c.note(FoundPumpWeak, s.index, 0, clearedBy(m.weak(), m.Plain.well() || m.Lit.well()), g.span, because(SawPumpWeakGap, m.Plain.LateK, m.Plain.UsualK))
	case m.Weeks > stepWeeks:
		c.note(FoundPumpWeak, s.index, 0, clearedBy(false, m.Steps == 0), g.span, Reason{})
	}
}

// weak tells that the gap of late is larger than weather and seasons make it.
func (m *GapSigns) weak() bool { return m.Plain.weak() && m.Lit.weak() }

// steps tells that the gap of the last week is far larger than that of the weeks
// before: a pump grows weak, or a strainer is blocked, from one week to the next.
func (m *GapSigns) steps() bool {
	return m.Weeks > stepWeeks && m.Plain.steps() && m.Lit.steps()
}

func (m *GapTrend) steps() bool { return m.JustK > 0 && m.LastK > stepGrown*m.JustK+gapMoreK }

// back tells that a step which has lasted is over.
func (m *GapTrend) back() bool { return m.LastK < gapWell*m.JustK+gapMoreK }

func (m *GapTrend) weak() bool { return m.LateK > gapGrown*m.UsualK+gapMoreK }
func (m *GapTrend) well() bool { return m.LateK < gapWell*m.UsualK+gapMoreK }

// see keeps the largest gap of a day in strong light; without a clock there is no
// light to compare it with.
func (m *GapSigns) see(gapK float64, span time.Duration, clearWM2 float64) {
	m.HeldK = max(0, min(gapK, m.HeldK+gapRiseKMin*span.Minutes()))
	if clearWM2 >= gapClearWM2 {
		m.Plain.PeakK = max(m.Plain.PeakK, m.HeldK)
		m.Lit.PeakK = max(m.Lit.PeakK, m.HeldK*1000/clearWM2)
	}
}

// endDay closes a day on which the pump has run in the sun and, after seven, a
// week. What is usual is not learned from a fault.
func (m *GapSigns) endDay(faulty bool) {
	m.HeldK = 0
	if m.Plain.PeakK == 0 {
		return
	}
	m.Days++
	week := m.Days >= 7
	if week {
		m.Days = 0
		m.Weeks = min(m.Weeks+1, 10000)
	}
	faulty = faulty || m.weak()
	m.Plain.endDay(week, m.Weeks, faulty)
	m.Lit.endDay(week, m.Weeks, faulty)
	if !week {
		return
	}
	switch {
	case m.steps():
		m.Steps = min(m.Steps+1, 10000)
		return
	case m.Steps >= stepLasts && !(m.Plain.back() || m.Lit.back()):
		return // neither here nor there
	}
	m.Steps = 0
	m.Plain.learnJust(m.Weeks)
	m.Lit.learnJust(m.Weeks)
}

// learnJust learns from a week without a step what the next is compared with.
func (m *GapTrend) learnJust(weeks int) {
	if m.JustK == 0 {
		weeks = 1
	}
	m.JustK += (m.LastK - m.JustK) / float64(min(weeks, 4))
}

func (m *GapTrend) endDay(week bool, weeks int, faulty bool) {
	m.WeekK, m.PeakK = max(m.WeekK, m.PeakK), 0
	if !week {
		return
	}
	m.LastK = m.WeekK
	m.LateK += (m.WeekK - m.LateK) / float64(min(weeks, 4))
	if weeks <= gapWeeks {
		m.UsualK += (m.WeekK - m.UsualK) / float64(weeks)
	} else if !faulty {
		m.UsualK += (m.WeekK - m.UsualK) / gapYear
	}
	m.WeekK = 0
}

// lookAtCoil learns which share of the gap between collector and tank the fluid
// gives to the water: a scaled coil lets it come back hot.
func (c *Controller) lookAtCoil(s *system, g *glance) {
	if !s.coilReturn.OK() || !s.tankBottom.OK() || g.gapK < 10 {
		return
	}
	m := &s.mem.Signs.Gap
	given := max(0, min(1, (g.collectorC-s.coilReturn.Value)/g.gapK))
	m.CoilFor = min(m.CoilFor+g.span, longestSpan)
	m.CoilShare += share(g.span, min(m.CoilFor, coilLearned)) * (given - m.CoilShare)
	if m.CoilFor < coilLearned {
		m.CoilBest = m.CoilShare
		return
	}
	c.note(FoundCoilScaled, s.index, 0, clearedBy(m.CoilShare < coilShareWorse*m.CoilBest, m.CoilShare > coilShareWell*m.CoilBest), g.span,
		because(SawCoilScaled, 100*m.CoilShare, 100*m.CoilBest))
}
