package control

import "time"

// The signs of a flow meter. Common practice, no source.
const (
	noFlowLMin     = 0.05
	restFlowLMin   = 0.2
	flowMemory     = 30 * time.Minute
	flowLearned    = 200 * time.Hour // of running: a month of summer
	flowLearnedMin = 5 * time.Hour   // before anything is compared with it
	weakFlowShare  = 0.65
	wellFlowShare  = 0.8
	unsteadyShare  = 0.35
)

// FlowSigns is what the loop's flow meter has shown.
type FlowSigns struct {
	UsualLMin float64       `json:"usual"` // learned over many hours of running
	LearnFor  time.Duration `json:"learn_ns"`
	MeanLMin  float64       `json:"mean"`   // of the last half hour of running
	SpreadL   float64       `json:"spread"` // around it
	RestFor   time.Duration `json:"rest_ns"`
}

func (m *FlowSigns) forgetMoment() { m.RestFor, m.SpreadL = 0, 0 }

// lookAtFlow compares the loop's flow with what it usually is, and with what the
// tank says. Heat outranks the meter: what brings heat, flows.
func (c *Controller) lookAtFlow(s *system, g *glance) {
	if !s.loopFlow.OK() || s.pump == none {
		return
	}
	m, flow := &s.mem.Signs.Flow, s.loopFlow.Value
	if g.runFor >= deadRun && s.mem.Signs.Loop.Running {
		gained := s.mem.Signs.Loop.Gained
		c.note(FoundFlowMeterSilent, s.index, 0, clearedBy(gained && flow < noFlowLMin, flow >= noFlowLMin), g.span, because(SawFlowMeterSilent, flow))
	}
	m.RestFor = longer(m.RestFor, g.pumpRest >= 30*time.Minute && flow >= restFlowLMin, g.span)
	cold := g.gapKnown && g.gapK < 0
	c.note(FoundFlowMeterAtRest, s.index, 0, clearedBy(m.RestFor >= 30*time.Minute && cold, g.pumpRest > 0 && flow < restFlowLMin), g.span,
		because(SawFlowMeterAtRest, flow, seconds(g.pumpRest)))
	if g.runFor < deadRun || flow < noFlowLMin || c.st.Outputs[s.pump].Level < 1 {
		return
	}
	m.learn(flow, g.span, c.raised(FoundPumpWeak, s.index, 0) || c.raised(FoundLoopAir, s.index, 0))
	if m.LearnFor < flowLearnedMin {
		return
	}
	unsteady := m.SpreadL > unsteadyShare*m.MeanLMin && m.MeanLMin < 0.7*m.UsualLMin
	if g.runFor >= flowMemory && (unsteady || c.raised(FoundLoopAir, s.index, 0)) {
		c.note(FoundLoopAir, s.index, 0, sees(unsteady), g.span, because(SawLoopAirFlow, m.MeanLMin, m.SpreadL))
	}
	if g.runFor >= flowMemory {
		c.note(FoundPumpWeak, s.index, 0, clearedBy(m.weak(), m.MeanLMin > wellFlowShare*m.UsualLMin), g.span, because(SawPumpWeakFlow, m.MeanLMin, m.UsualLMin))
	}
}

func (m *FlowSigns) weak() bool { return m.MeanLMin < weakFlowShare*m.UsualLMin }

// learn follows the flow. What is usual is not learned from a fault, and falls
// ten times slower than it rises, so that a strainer that blocks over months is
// not taken for usual.
func (m *FlowSigns) learn(flow float64, span time.Duration, faulty bool) {
	if m.LearnFor == 0 {
		m.UsualLMin, m.MeanLMin = flow, flow
	}
	m.MeanLMin += share(span, flowMemory) * (flow - m.MeanLMin)
	m.SpreadL += share(span, flowMemory) * (max(flow-m.MeanLMin, m.MeanLMin-flow) - m.SpreadL)
	if faulty || m.LearnFor >= flowLearnedMin && m.weak() {
		return
	}
	m.LearnFor = min(m.LearnFor+span, longestSpan)
	memory := min(m.LearnFor, flowLearned)
	if memory == flowLearned && flow < m.UsualLMin {
		memory = 10 * flowLearned
	}
	m.UsualLMin += share(span, memory) * (flow - m.UsualLMin)
}
