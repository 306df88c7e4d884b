package control

import "time"

// How fast the tank top rises is learned in quiet spells of heating. The whole
// tank at its entered volume and power gives the slowest rise there can be; only
// the water above the element is heated, so that two to three times as much is
// usual. Common practice, no source.
const (
	speedSpell    = 30 * time.Minute
	speedRest     = 10 * time.Minute // of the loop
	speedFallK    = 0.3              // somebody draws
	speedLeastKH  = 0.5
	speedFirst    = 20 // spells that make the reference
	speedCompared = 60
	speedUp       = 10 // spells; draws only slow a spell down, so that fast ones count for more
	speedDown     = 40
	speedYear     = 200 // and those that are usual
	speedSlow     = 0.75
	speedWell     = 0.85
	planSlow      = 0.5
	planFast      = 8
	planBand      = 0.1
	bareSpell     = 10 * time.Minute
	bareRiseK     = 10
)

// SpeedSigns is how fast the heater heats.
type SpeedSigns struct {
	SpellFor time.Duration `json:"spell_ns"`
	FromC    float64       `json:"from"`
	PeakC    float64       `json:"peak"`
	UsualKH  float64       `json:"usual"` // K/h, of all seasons; lime lets it fall too slowly to hide in it
	NowKH    float64       `json:"now"`   // lately
	Spells   int           `json:"spells"`

	BareFor  time.Duration `json:"bare_ns"`
	BareLowC float64       `json:"bare_low"`
}

func (m *SpeedSigns) forgetMoment() { m.SpellFor, m.BareFor = 0, 0 }

// lookAtHeaterSpeed learns the rise per hour: a scaled element heats slower from
// month to month, and a tank or heater that is not as described never fitted.
func (c *Controller) lookAtHeaterSpeed(s *system, g *glance) {
	if s.heater == none {
		return
	}
	m := &s.mem.Signs.Speed
	quiet := s.tankTop.OK() && g.heaterShare == 1 && g.loopRests && g.pumpRest >= speedRest
	if !quiet {
		m.SpellFor, m.BareFor = 0, 0
		return
	}
	top := s.tankTop.Value
	c.lookForBareElement(s, g, top)
	if m.SpellFor == 0 || top < m.PeakC-speedFallK {
		m.SpellFor, m.FromC, m.PeakC = 0, top, top
	}
	m.PeakC = max(m.PeakC, top)
	if m.SpellFor += g.span; m.SpellFor < speedSpell {
		return
	}
	if riseKH := (top - m.FromC) / m.SpellFor.Hours(); riseKH >= speedLeastKH {
		m.learn(riseKH, c.raised(FoundHeaterSlow, s.index, 0))
	}
	m.SpellFor = 0
	if m.Spells < speedFirst {
		return
	}
	slow := m.Spells >= speedCompared && m.slow()
	c.note(FoundHeaterSlow, s.index, 0, clearedBy(slow, m.NowKH > speedWell*m.UsualKH), g.span, because(SawHeaterSlow, m.NowKH, m.UsualKH))
	planned := s.plannedKH()
	if planned == 0 {
		return
	}
	band := s.was(c, FoundHeaterNotAsDescribed, planBand)
	odd := m.NowKH < planned*planSlow*(1+band) || m.NowKH > planned*planFast*(1-band)
	c.note(FoundHeaterNotAsDescribed, s.index, 0, sees(odd), g.span, because(SawHeaterNotAsDescribed, m.NowKH, planned))
}

func (m *SpeedSigns) slow() bool { return m.NowKH < speedSlow*m.UsualKH }

// learn adds a spell. The first ones make the reference; it follows faster heating
// in a year and slower heating in ten, and no fault.
func (m *SpeedSigns) learn(riseKH float64, faulty bool) {
	m.Spells = min(m.Spells+1, 10000)
	if m.Spells <= speedFirst {
		m.UsualKH += (riseKH - m.UsualKH) / float64(m.Spells)
		m.NowKH = m.UsualKH
		return
	}
	part := 1.0 / speedDown
	if riseKH > m.NowKH {
		part = 1.0 / speedUp
	}
	m.NowKH += part * (riseKH - m.NowKH)
	switch {
	case m.NowKH > m.UsualKH:
		m.UsualKH += (m.NowKH - m.UsualKH) / speedYear
	case !faulty && !m.slow():
		m.UsualKH += (m.NowKH - m.UsualKH) / (10 * speedYear)
	}
}

// plannedKH is the rise of the whole tank by its entered volume and power, K/h;
// 0 when they are not known.
func (s *system) plannedKH() float64 {
	if s.plan.TankL <= 0 {
		return 0
	}
	return s.plan.HeaterW * 3600 / (s.plan.TankL * waterJLK)
}

// lookForBareElement looks for a top that rises as no water can: air around the
// probe, a part-empty tank.
func (c *Controller) lookForBareElement(s *system, g *glance, top float64) {
	m := &s.mem.Signs.Speed
	if m.BareFor == 0 || m.BareFor > bareSpell {
		m.BareFor, m.BareLowC = 0, top
	}
	m.BareFor += g.span
	m.BareLowC = min(m.BareLowC, top)
	rise := top - m.BareLowC
	bare := rise >= max(bareRiseK, s.plannedKH())
	if bare || m.BareFor >= bareSpell {
		c.note(FoundTankPartEmpty, s.index, 0, sees(bare), m.BareFor, because(SawTankPartEmpty, rise, seconds(m.BareFor)))
	}
}
