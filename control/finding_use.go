package control

import "time"

// The signs at the taps and in the circulation line. Common practice, no source,
// but for the scald figure: water of 55 °C burns an adult's skin deep within
// about half a minute (Moritz and Henriques 1947, see physics.ScaldSeconds).
const (
	hotTapC      = 55
	hotTapBandC  = 3
	usedTapC     = 26 // warmer than a tap at rest
	lukewarmK    = 5
	circRest     = time.Hour
	circWarmC    = 35
	circNearTopK = 10
	circRun      = 20 * time.Minute
	circColdC    = 30
	circColdK    = 20
	circBandK    = 5
	drawFallK    = 2
	drawBookK    = 5 // of the tank: more than the book is out by in some days
	drawWindow   = 20 * time.Minute
	unusedAfter  = 72 * time.Hour
)

// UseSigns follows draws and taps.
type UseSigns struct {
	NoDrawFor time.Duration `json:"no_draw_ns"`
	DrawnKWh  float64       `json:"drawn"` // in the energy book, at the last sure draw
	WindowFor time.Duration `json:"window_ns"`
	HighC     float64       `json:"high"` // of the probe that feels draws, in the window

	TapHighC float64 `json:"tap_high"` // today
	TopLowC  float64 `json:"top_low"`  // coldest tank top today
	DayKnown bool    `json:"day_known"`
}

func (m *UseSigns) forgetMoment() { m.WindowFor, m.DayKnown = 0, false }

// lookAtUse looks at draws, taps and the circulation line.
func (c *Controller) lookAtUse(s *system, g *glance) {
	c.lookForDraws(s, g)
	c.lookAtTap(s, g)
	c.lookAtCirculation(s, g)
}

// lookForDraws counts the time without a draw: cold water has come in, or is
// metered.
func (c *Controller) lookForDraws(s *system, g *glance) {
	m := &s.mem.Signs.Use
	feels := s.tankBottom
	if !feels.OK() {
		feels = s.tankTop
	}
	m.NoDrawFor = min(m.NoDrawFor+g.span, longestSpan)
	switch {
	case s.drawFlow.OK():
		if s.drawFlow.Value > 0 {
			m.NoDrawFor = 0
		}
	case !feels.OK(), g.pumpShare > 0:
		m.WindowFor = 0
	default:
		if m.WindowFor == 0 || m.WindowFor > drawWindow {
			m.WindowFor, m.HighC = 0, feels.Value
		}
		m.WindowFor += g.span
		m.HighC = max(m.HighC, feels.Value)
		if feels.Value < m.HighC-drawFallK {
			m.NoDrawFor, m.WindowFor = 0, 0
		}
	}
	if drawnKWh := min(s.mem.Energy.DrawnJ/jPerKWh, mostLearned); drawnKWh > m.DrawnKWh+drawBookK*s.plan.TankL*waterJLK/jPerKWh {
		m.NoDrawFor, m.DrawnKWh = 0, drawnKWh
	}
	unused := m.NoDrawFor >= unusedAfter
	c.note(FoundTankUnused, s.index, 0, clearedBy(unused && s.mem.TankFull && !c.onHoliday(), !unused), g.span,
		because(SawTankUnused, seconds(m.NoDrawFor), s.hottestC))
}

// lookAtTap looks at the water behind the tempering valve.
func (c *Controller) lookAtTap(s *system, g *glance) {
	if !s.tap.OK() {
		return
	}
	m, tap := &s.mem.Signs.Use, s.tap.Value
	c.note(FoundTapTooHot, s.index, 0, clearedBy(tap > hotTapC, tap > usedTapC && tap < hotTapC-hotTapBandC), g.span, because(SawTapTooHot, tap))
	if !s.tankTop.OK() {
		return
	}
	if !m.DayKnown {
		m.DayKnown, m.TapHighC, m.TopLowC = true, tap, s.tankTop.Value
	}
	m.TapHighC, m.TopLowC = max(m.TapHighC, tap), min(m.TopLowC, s.tankTop.Value)
	if !g.dusk {
		return
	}
	m.DayKnown = false
	tankHot := m.TopLowC > s.set.TapC+lukewarmK
	lukewarm := tankHot && m.TapHighC > usedTapC && m.TapHighC < s.set.TapC-lukewarmK
	c.note(FoundTapLukewarm, s.index, 0, clearedBy(lukewarm, m.TapHighC >= s.set.TapC-lukewarmK), g.span, because(SawTapLukewarm, m.TapHighC, m.TopLowC))
}

// lookAtCirculation compares the return of the circulation line with what its
// pump was told.
func (c *Controller) lookAtCirculation(s *system, g *glance) {
	if s.circulation == none || !s.circulationReturn.OK() || !s.tankTop.OK() {
		return
	}
	o, back, top := &c.st.Outputs[s.circulation], s.circulationReturn.Value, s.tankTop.Value
	if o.Level == 0 && o.Idle >= circRest {
		warm := back > circWarmC && back > top-circNearTopK
		c.note(FoundCirculationAlways, s.index, 0, sees(warm), g.span, because(SawCirculationAlways, back, seconds(o.Idle)))
	}
	// A line that is soon warm lets its pump rest again before the run is long.
	ran := o.Level > 0 && o.InState >= circRun
	cold := back < circColdC && back < top-circColdK
	warmed := back >= circColdC+circBandK && o.Idle < circRun
	c.note(FoundCirculationCold, s.index, 0, clearedBy(ran && cold, warmed || ran && !cold), g.span, because(SawCirculationCold, back, top))
}
