package control

import "time"

// The signs of a night. Common practice, no source: with the loop at rest a
// collector is as cold as the air within two hours, or colder by a few kelvin
// under a clear sky.
const (
	nightRest      = 2 * time.Hour
	warmRoofK      = 8  // above the air
	warmRoofLeastC = 12 // else it may be snow that keeps it from cooling
	coldRoofK      = 5
	tankNearK      = 4 // a pump brings the tank's temperature up to the roof
	tankOverK      = 0.5
	hotTankK       = 15            // above the air: it would show
	coldRoofFor    = 8 * time.Hour // a night or two without heat on the roof is proof for any tank
	driftRest      = 4 * time.Hour
	driftAirC      = 3 // colder air may bring snow
	driftNights    = 7
	driftHighK     = 4
	driftLowK      = -10
	driftBandK     = 1
	soundNights    = 2  // in a row outweigh all before
	followNights   = 40 // learned before anything is compared
	followMemory   = 90 // nights
	followVarK2    = 12 // that the roof's nights must differ by: 3.5 K
	followLeast    = 0.75
	followWell     = 0.85
	followGapK     = -3
	deepNightDeg   = -12
	sunInTheNightK = 10
	sunOverTheAirK = 15
	highSunDeg     = 10
	// sunInTheNightFor is how long it must last.
	sunInTheNightFor = 30 * time.Minute
	darkRun          = 30 * time.Minute
	darkOverAirK     = 3
)

// NightSigns is what was learned of the collector at night.
type NightSigns struct {
	GapSumKH float64       `json:"gap_sum"` // K times hours, tonight
	GapFor   time.Duration `json:"gap_ns"`
	GapK     float64       `json:"gap"` // collector above the air, learned over nights
	Nights   int           `json:"nights"`
	Sound    int           `json:"sound"` // nights in a row in which it stood near the air
	Follow   FollowSigns   `json:"follow"`
	FrostH   float64       `json:"frost_h"` // hours of circulation against frost, forgotten within a day
	NearFor  time.Duration `json:"near_ns"` // collector as warm as the tank, in the dark
	OnFor    time.Duration `json:"on_ns"`   // loop at work in this night, for the sun's sake
	OffFor   time.Duration `json:"off_ns"`  // not so, in the dark
	SunFor   time.Duration `json:"sun_ns"`  // sun in deep night
	ColdFor  time.Duration `json:"cold_ns"` // collector as cold as the air in the dark, since it was last warm
}

// FollowSigns is how far the outdoor probe follows the roof from night to night:
// beside a warm room it follows by a part.
type FollowSigns struct {
	RoofSumCH float64       `json:"roof_sum"` // °C times hours, tonight
	AirSumCH  float64       `json:"air_sum"`
	For       time.Duration `json:"for_ns"`
	RoofC     float64       `json:"roof"` // mean of the nights
	AirC      float64       `json:"air"`
	VarK2     float64       `json:"var"` // of the roof's nights
	CrossK2   float64       `json:"cross"`
	Nights    int           `json:"nights"`
}

func (m *FollowSigns) add(roofC, airC float64, span time.Duration) {
	m.RoofSumCH += roofC * span.Hours()
	m.AirSumCH += airC * span.Hours()
	m.For += span
}

// endNight learns from a night: running mean, variance and covariance.
func (m *FollowSigns) endNight() {
	if m.For >= time.Hour {
		roofK, airK := m.RoofSumCH/m.For.Hours()-m.RoofC, m.AirSumCH/m.For.Hours()-m.AirC
		m.Nights = min(m.Nights+1, 10000)
		part := 1 / float64(min(m.Nights, followMemory))
		m.RoofC += part * roofK
		m.AirC += part * airK
		m.VarK2 += part * ((1-part)*roofK*roofK - m.VarK2)
		m.CrossK2 += part * ((1-part)*roofK*airK - m.CrossK2)
	}
	m.RoofSumCH, m.AirSumCH, m.For = 0, 0, 0
}

// lookForWarmWall looks for an outdoor probe that feels a room: the colder the
// night, the more it reads too warm.
func (c *Controller) lookForWarmWall(s *system, g *glance) {
	m := &s.mem.Signs.Night.Follow
	m.endNight()
	if m.Nights < followNights || m.VarK2 < followVarK2 {
		return
	}
	follows, gapK := m.CrossK2/m.VarK2, s.mem.Signs.Night.GapK
	wall, well := follows < followLeast && gapK < followGapK, follows > followWell && gapK > driftLowK+driftBandK
	c.note(FoundOutdoorWarm, s.index, 0, clearedBy(wall, well), g.span, because(SawWarmWall, 100*follows, -gapK))
}

func (m *NightSigns) forgetMoment() {
	m.Follow.RoofSumCH, m.Follow.AirSumCH, m.Follow.For = 0, 0, 0
	m.GapSumKH, m.GapFor, m.OnFor, m.OffFor, m.NearFor, m.SunFor, m.ColdFor = 0, 0, 0, 0, 0, 0, 0
}

// lookAtNight looks at what should be cold and still.
func (c *Controller) lookAtNight(s *system, g *glance) {
	c.lookForWarmRoof(s, g)
	c.lookAtDrift(s, g)
	c.lookForSunInTheNight(s, g)
	c.lookForSunInTheDark(s, g)
	if s.pump != none && s.pumpCurrent.OK() && g.pumpRest >= time.Minute {
		c.note(FoundPumpRelayStuck, s.index, 0, sees(s.pumpCurrent.Value >= leastPumpA), g.span, because(SawPumpCurrentOff, s.pumpCurrent.Value, seconds(g.pumpRest)))
	}
}

// lookForWarmRoof looks for heat that reaches the roof at night with the loop at
// rest: by a pump that does not stop, or backwards through a check valve.
func (c *Controller) lookForWarmRoof(s *system, g *glance) {
	if !g.dark || g.pumpRest < nightRest || !g.gapKnown || !s.outdoor.OK() {
		c.note(FoundReverseCirculation, s.index, 0, unclear, g.span, Reason{})
		s.mem.Signs.Night.NearFor = 0
		return
	}
	air := s.outdoor.Value
	warm := g.collectorC >= air+warmRoofK && g.collectorC >= warmRoofLeastC && s.hottestC > g.collectorC-2
	cold := g.collectorC < air+coldRoofK && g.coilC > air+hotTankK
	near := warm && s.pump != none && g.gapK > -tankNearK && g.gapK <= tankOverK && g.coilC > air+hotTankK
	m := &s.mem.Signs.Night
	m.NearFor = longer(m.NearFor, near, g.span)
	pumped := m.NearFor >= time.Hour
	if warm {
		m.ColdFor = 0
	} else if g.collectorC < air+coldRoofK {
		m.ColdFor = min(m.ColdFor+g.span, coldRoofFor)
	}
	cold = cold || m.ColdFor >= coldRoofFor
	why := because(SawWarmRoof, g.collectorC, air, g.coilC)
	if s.pump != none && !s.pumpCurrent.OK() {
		c.note(FoundPumpRelayStuck, s.index, 0, clearedBy(pumped, cold || g.gapK < -2*tankNearK), g.span, why)
	}
	c.note(FoundReverseCirculation, s.index, 0, clearedBy(warm && !near, cold), g.span, why)
}

// lookAtDrift learns how far the collector stands above the air before dawn.
func (c *Controller) lookAtDrift(s *system, g *glance) {
	m := &s.mem.Signs.Night
	if g.dark {
		backwards := c.raised(FoundReverseCirculation, s.index, 0) || c.raised(FoundPumpRelayStuck, s.index, 0)
		if backwards || g.pumpRest < driftRest || !s.collector.OK() || !s.outdoor.OK() {
			return
		}
		m.Follow.add(s.collector.Value, s.outdoor.Value, g.span)
		if s.outdoor.Value > driftAirC {
			m.GapSumKH += (s.collector.Value - s.outdoor.Value) * g.span.Hours()
			m.GapFor += g.span
		}
		return
	}
	c.lookForWarmWall(s, g)
	if m.GapFor >= time.Hour {
		m.Nights = min(m.Nights+1, 10000)
		gapK := m.GapSumKH / m.GapFor.Hours()
		m.GapK += max(0.1, 1/float64(m.Nights)) * (gapK - m.GapK)
		if m.Sound++; gapK > driftHighK-driftBandK {
			m.Sound = 0
		}
		if m.Sound = min(m.Sound, soundNights); m.Sound == soundNights {
			m.GapK = min(m.GapK, gapK) // it has been mended
		}
	}
	m.GapSumKH, m.GapFor = 0, 0
	if m.Nights < driftNights {
		return
	}
	high := s.was(c, FoundCollectorDrifts, driftBandK)
	c.note(FoundCollectorDrifts, s.index, 0, sees(m.GapK > driftHighK-high), g.span, because(SawNightGap, m.GapK, float64(m.Nights)))
	switch {
	case m.GapK < driftLowK:
		c.note(FoundOutdoorWarm, s.index, 0, present, g.span, because(SawNightGap, m.GapK, float64(m.Nights)))
	case m.GapK > driftLowK+driftBandK && m.Follow.Nights < followNights:
		c.note(FoundOutdoorWarm, s.index, 0, absent, g.span, Reason{}) // the nights can't be compared yet
	}
}

// was gives a band while a finding of the system stands, else 0.
func (s *system) was(c *Controller, kind FindingKind, band float64) float64 {
	if c.raised(kind, s.index, 0) {
		return band
	}
	return 0
}

// lookForSunInTheNight doubts a clock by which the collector is hotter than all
// of the tank in deep night, and for half an hour without a break: what is
// unsteady is no sun. It trusts the clock again after deep night without sun, once
// the sun has shown itself by day: a clock that is half a day ahead never does so,
// however overcast it is.
func (c *Controller) lookForSunInTheNight(s *system, g *glance) {
	m, h := &s.mem.Signs.Night, &c.st.House
	if c.raised(FoundCollectorSwapped, s.index, 0) {
		m.SunFor = 0 // that explains it
		c.note(FoundClockWrong, House, 0, clearedBy(false, !c.soundElsewhere(s)), g.span, Reason{})
		return
	}
	alive := s.collectorProbe != nil && s.collectorProbe.Same < frostAlive && s.collectorProbe.Trouble == 0
	if !c.sky.known || !g.gapKnown || !alive { // a probe that stands still or fails tells nothing of the sun
		m.SunFor = 0
		return
	}
	overAir := !s.outdoor.OK() || g.collectorC > s.outdoor.Value+sunOverTheAirK
	backwards := c.raised(FoundReverseCirculation, s.index, 0) || c.raised(FoundPumpRelayStuck, s.index, 0)
	hot := g.gapK > sunInTheNightK && g.collectorC > s.hottestC+sunInTheNightK/2 && overAir
	if g.sunDeg > deepNightDeg {
		m.SunFor = 0
		lit := hot || s.outdoor.OK() && overAir && !backwards // the tank may be hotter than a winter's sun
		h.SunByDay = h.SunByDay || lit && g.sunDeg > highSunDeg
		return
	}
	m.SunFor = longer(m.SunFor, hot, g.span)
	wrong := m.SunFor >= sunInTheNightFor
	h.SunByDay = h.SunByDay && !wrong
	c.note(FoundClockWrong, House, 0, clearedBy(wrong, !hot && h.SunByDay), g.span, because(SawSunInTheNight, g.collectorC, g.coilC, -g.sunDeg))
}

// soundElsewhere tells whether another system has a collector that is not swapped with
// another probe: the clock is the house's, and what is wrong in one system does not
// clear what a sound one has seen.
func (c *Controller) soundElsewhere(s *system) bool {
	for i := range c.systems {
		if i != s.index && c.systems[i].collectorProbe != nil && !c.raised(FoundCollectorSwapped, i, 0) {
			return true
		}
	}
	return false
}

// lookForSunInTheDark doubts probes by which the pump gains heat in the dark, in
// a night all together. Warm air may do so for a while, but is no colder than the
// collector then.
func (c *Controller) lookForSunInTheDark(s *system, g *glance) {
	m := &s.mem.Signs.Night
	if s.pump == none || !g.gapKnown {
		return
	}
	forSun := g.runFor > 0 && s.mem.LoopWanted && !s.frostCirculates && !s.mem.NightCooling
	overAir := !s.outdoor.OK() || g.collectorC > s.outdoor.Value+darkOverAirK
	switch {
	case !g.dark:
		m.OnFor = 0
	case forSun && overAir:
		m.OnFor = min(m.OnFor+g.span, longestSpan)
	}
	m.OffFor = longer(m.OffFor, g.dark && !forSun, g.span)
	c.note(FoundSunInTheDark, s.index, 0, clearedBy(m.OnFor >= darkRun, m.OffFor >= nightRest), g.span,
		because(SawSunInTheDark, g.collectorC, g.coilC, seconds(m.OnFor)))
}
