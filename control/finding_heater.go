package control

import "time"

// The signs of a backup heater. Common practice, no source.
const (
	heaterSettle = time.Minute
	nothingK     = 30 // what its heat should have done to the whole tank
	nothingLeast = 2 * time.Hour
	nothingRiseK = 3
	flatFor      = 2 * time.Hour    // in all
	flatSettle   = 20 * time.Minute // of each spell: even a slow heater moves the top meanwhile
	flatRiseK    = 0.5
	flatBandK    = 3
	flatSameK    = 2 // the thermostat opens at about the same top each time
	cutOutOverK  = 5 // above the tank limit, where sun and heater have stopped: cut-outs open above it
	cutOutMemory = 48 * time.Hour
	restsTimes   = 2 // how often the time that tells of a dead heater its thermostat may keep it still
)

// HeaterSigns follows the backup heater.
type HeaterSigns struct {
	Rest RestSigns `json:"rest"`

	Trying    bool          `json:"trying"`    // it shall heat
	StartC    float64       `json:"start"`     // coldest top since
	HighC     float64       `json:"high"`      // hottest top since the coldest
	SpellLowC float64       `json:"spell_low"` // coldest top of a spell in which nothing else heats
	Rose      bool          `json:"rose"`      // the heater itself has raised the top since the coldest
	TriedFor  time.Duration `json:"tried_ns"`
	LevelC    float64       `json:"level_c"` // of the top while it neither rises nor falls
	LevelFor  time.Duration `json:"level_ns"`
	FlatC     float64       `json:"flat_c"` // where it stayed so in some spells
	FlatFor   time.Duration `json:"flat_ns"`

	HotC     float64       `json:"hot"` // hottest of the tank in the last two days, before it tried in vain
	HotSince time.Duration `json:"hot_ns"`
}

func (m *HeaterSigns) forgetMoment() { m.Rest.Known, m.LevelFor = false, 0 }

// lookAtHeater looks for a heater that does not do as it is told.
func (c *Controller) lookAtHeater(s *system, g *glance) {
	if s.heater == none {
		return
	}
	m := &s.mem.Signs.Heater
	// Heat that the sun brings while the heater gives nothing has tripped no cut-out.
	if m.HotSince += g.span; s.tankKnown && m.TriedFor == 0 && (s.hottestC > m.HotC || m.HotSince > cutOutMemory) {
		m.HotC, m.HotSince = s.hottestC, 0
	}
	c.lookForStuckHeater(s, g)
	on := c.st.Outputs[s.heater].Level > 0 && c.st.Outputs[s.heater].InState >= heaterSettle
	if on && s.heaterCurrent.OK() {
		dead := s.heaterCurrent.Value < leastHeaterA
		c.note(FoundHeaterNoCurrent, s.index, 0, sees(dead && !c.flattens(s)), g.span, because(SawHeaterNoCurrent, s.heaterCurrent.Value, s.tankTop.Value))
		c.note(FoundHeaterCutOut, s.index, 0, sees(dead && c.mayHaveTripped(s)), g.span, because(SawHeaterCutOut, m.HotC))
	}
	if s.tankTop.OK() {
		c.lookAtHeating(s, g, on)
	}
}

// flattens tells that the top has been heated and stays below its target, as
// when the heater's own thermostat has opened.
func (c *Controller) flattens(s *system) bool {
	m := &s.mem.Signs.Heater
	return m.Rose && s.tankTop.Value > m.HighC-flatBandK
}

// mayHaveTripped tells that the tank was hotter than sun and heater may make it
// before the heater fell silent.
func (c *Controller) mayHaveTripped(s *system) bool {
	return s.mem.Signs.Heater.HotC >= s.set.TankLimitC+cutOutOverK
}

// lookAtHeating follows the top while the heater shall heat: it should rise,
// and go on to rise up to the target.
func (c *Controller) lookAtHeating(s *system, g *glance, on bool) {
	m, top := &s.mem.Signs.Heater, s.tankTop.Value
	if !m.Trying && on || top < m.StartC {
		m.Trying, m.StartC, m.HighC = true, top, top
		m.Rose = false
	}
	alone := on && g.heaterShare == 1 && g.loopRests // what rises now, the heater has heated
	if !alone {
		m.SpellLowC = top
	}
	m.SpellLowC = min(m.SpellLowC, top)
	rose := top >= m.SpellLowC+nothingRiseK
	m.Rose = m.Rose || rose
	if rose {
		m.TriedFor = 0
	} else if alone && top < s.heatsTo() {
		m.TriedFor = min(m.TriedFor+g.span, longestSpan)
	}
	m.HighC = max(m.HighC, top)
	m.followLevel(top, alone, g.span)
	nothing := m.TriedFor >= s.nothingAfter() && !rose && !c.rests(s)
	tripped := c.mayHaveTripped(s)
	c.note(FoundHeaterGivesNothing, s.index, 0, clearedBy(nothing, rose), g.span, because(SawHeaterGivesNothing, seconds(m.TriedFor), top))
	if !s.heaterCurrent.OK() {
		c.note(FoundHeaterCutOut, s.index, 0, clearedBy(nothing && tripped, rose), g.span, because(SawHeaterCutOut, m.HotC))
	}
	flat := on && m.Rose && m.FlatFor >= flatFor && m.FlatC < s.heatsTo()
	c.note(FoundHeaterThermostatLow, s.index, 0, clearedBy(flat, rose && alone && s.reaches(top)), g.span, because(SawHeaterFlat, m.FlatC, seconds(m.FlatFor)))
	if top >= s.set.HeaterStopC {
		m.Trying = false
	}
}

// rests tells that the heater's own thermostat, of which is known that it opens
// early, may be what keeps the heater from heating: it closes again not far below.
// It does not keep the heater still for ever: an element that has burnt out while
// the tank was lukewarm looks like that thermostat at first.
func (c *Controller) rests(s *system) bool {
	m, top := &s.mem.Signs.Heater, s.tankTop.Value
	return c.raised(FoundHeaterThermostatLow, s.index, 0) && m.TriedFor < restsTimes*s.nothingAfter() &&
		top > m.FlatC-thermostatBandK && top <= m.FlatC+flatSameK
}

// reaches tells that the top is where the heater shall bring it, and no thermostat
// has kept it from there.
func (s *system) reaches(top float64) bool {
	goal := s.heatsTo()
	if s.mem.Signs.Heater.FlatC < s.set.HeaterStopC-flatSameK {
		goal = s.set.HeaterStopC
	}
	return top > goal-flatSameK
}

// followLevel adds up how long the top stays put while the heater alone shall
// heat it. Draws and windows cut that into spells; a heater that lifts the top
// above the level is not held there.
func (m *HeaterSigns) followLevel(top float64, alone bool, span time.Duration) {
	if !alone {
		m.LevelFor = 0
		return
	}
	if m.LevelFor == 0 || top >= m.LevelC+flatRiseK || top <= m.LevelC-flatRiseK {
		m.LevelC, m.LevelFor = top, 0
	}
	m.LevelFor = min(m.LevelFor+span, longestSpan)
	if m.SpellLowC < m.FlatC+flatRiseK && top > m.FlatC+flatSameK {
		m.FlatFor = 0
	}
	if m.LevelFor <= flatSettle || top < m.SpellLowC+2*flatRiseK {
		return // too early to tell, or not the heater has brought it there
	}
	if m.LevelC > m.FlatC+flatSameK || m.LevelC < m.FlatC-flatSameK {
		m.FlatC, m.FlatFor = m.LevelC, 0
	}
	m.FlatFor = min(m.FlatFor+span, longestSpan)
}

// heatsTo is where the heater heats the tank top to by itself. Above it, where only
// a person's hand keeps it on, its own thermostat may open.
func (s *system) heatsTo() float64 {
	return max(s.set.HeaterStopC, s.set.HygieneC, s.set.OffPeakStopC)
}

// nothingAfter is the heating time that must show at the tank top.
func (s *system) nothingAfter() time.Duration {
	if s.plan.HeaterW <= 0 || s.plan.TankL <= 0 {
		return effortBlind / 2
	}
	return max(nothingLeast, time.Duration(s.plan.TankL*waterJLK*nothingK/s.plan.HeaterW*float64(time.Second)))
}
