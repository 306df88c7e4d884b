package control

// The signs of the loop's pressure, above the air. Common practice, no source:
// half a bar is the least that keeps air out at the top, a sound vessel gives
// way so that the pressure rises by one or two hundredths of a bar per kelvin.
const (
	lowBar         = 0.5
	lowBandBar     = 0.2
	usualReliefBar = 6
	reliefShare    = 0.97
	reliefWell     = 0.85
	fallBar        = 0.3
	fallBandBar    = 0.15
	refillBar      = 0.4
	pressureNights = 5
	nightLooks     = 24 * 60 // a polar night has no dawn for months, and its first day says enough
	vesselK        = 25
	vesselBarK     = 0.045
	vesselWellBarK = 0.03
	vacuumBar      = -0.05
)

// PressureSigns is what was learned of the loop's pressure.
type PressureSigns struct {
	NightBar float64 `json:"night"`  // cold and at rest, lately
	UsualBar float64 `json:"usual"`  // likewise, slowly
	Nights   int     `json:"nights"` // that this was learned from
	SumBar   float64 `json:"sum"`    // tonight
	Looks    int     `json:"looks"`

	DayKnown bool    `json:"day_known"`
	LowBar   float64 `json:"low"` // of today, with the collector's temperature
	LowC     float64 `json:"low_c"`
	HighBar  float64 `json:"high"`
	HighC    float64 `json:"high_c"`
}

func (m *PressureSigns) forgetMoment() { m.DayKnown, m.SumBar, m.Looks = false, 0, 0 }

// lookAtPressure looks at the pressure itself, at its trend over nights, and at
// how steep it follows the heat of a day.
func (c *Controller) lookAtPressure(s *system, g *glance) {
	if !s.loopPressure.OK() {
		return
	}
	bar := s.loopPressure.Value
	c.note(FoundPressureLow, s.index, 0, clearedBy(bar < lowBar, bar > lowBar+lowBandBar), g.span, because(SawPressureLow, bar))
	relief := s.plan.ReliefBar
	if relief == 0 {
		relief = usualReliefBar
	}
	c.note(FoundPressureTooHigh, s.index, 0, clearedBy(bar > reliefShare*relief, bar < reliefWell*relief), g.span, because(SawPressureTooHigh, bar, relief))
	c.lookAtPressureTrend(s, g, bar)
	if s.collector.OK() {
		c.lookAtVessel(s, g, bar)
	}
}

// lookAtPressureTrend compares cold nights with each other.
func (c *Controller) lookAtPressureTrend(s *system, g *glance, bar float64) {
	m := &s.mem.Signs.Pressure
	if g.dark {
		if g.pumpRest >= driftRest && m.Looks < nightLooks {
			m.SumBar += bar
			m.Looks++
		}
		return
	}
	if m.Looks == 0 {
		return
	}
	tonight := m.SumBar / float64(m.Looks)
	m.SumBar, m.Looks = 0, 0
	refilled := tonight > m.NightBar+refillBar
	if m.Nights == 0 || refilled {
		m.Nights, m.NightBar, m.UsualBar = 0, tonight, tonight
		c.note(FoundPressureFalling, s.index, 0, absent, g.span, Reason{})
	}
	m.Nights = min(m.Nights+1, 10000)
	m.NightBar += (tonight - m.NightBar) / 2
	m.UsualBar += (tonight - m.UsualBar) / 40
	if m.Nights < pressureNights {
		return
	}
	fallen := m.UsualBar - m.NightBar
	c.note(FoundPressureFalling, s.index, 0, clearedBy(fallen > fallBar, fallen < fallBandBar), g.span, because(SawPressureFalling, m.NightBar, m.UsualBar))
}

// lookAtVessel compares the hottest with the coldest of a day.
func (c *Controller) lookAtVessel(s *system, g *glance, bar float64) {
	m, tempC := &s.mem.Signs.Pressure, s.collector.Value
	if !m.DayKnown {
		m.DayKnown, m.LowBar, m.HighBar, m.LowC, m.HighC = true, bar, bar, tempC, tempC
	}
	if bar < m.LowBar {
		m.LowBar, m.LowC = bar, tempC
	}
	if bar > m.HighBar {
		m.HighBar, m.HighC = bar, tempC
	}
	vacuum := bar < vacuumBar
	if vacuum {
		c.note(FoundVesselCushionLost, s.index, 0, present, g.span, because(SawVacuum, bar, tempC))
	}
	if !g.dusk {
		return
	}
	if warmer := m.HighC - m.LowC; warmer >= vesselK {
		steep := (m.HighBar - m.LowBar) / warmer
		c.note(FoundVesselCushionLost, s.index, 0, clearedBy(steep > vesselBarK, steep < vesselWellBarK && !vacuum), g.span,
			because(SawVesselSteep, m.LowBar, m.HighBar, warmer))
	}
	m.DayKnown = false
}
