package control

import (
	"math"
	"time"
)

// The signs of probes in the wrong place. Common practice, no source: on any day
// without snow a collector at rest is more than 6 K hotter than the air at some
// hour, even under clouds.
const (
	sunnyDeg       = 20
	pocketGapK     = 6
	pocketAirC     = 5
	pocketDays     = 7
	airRunSwingK   = 1.5            // a collector that a run of the pump moves by no more,
	airRunGapK     = 2              // as cold as the air all the time,
	airRunGainK    = 4              // and yet the tank bottom rose by this much
	airLikeK       = 1              // no further from the air than this, by day and by night,
	airLikeFor     = 20 * time.Hour // for so long,
	airLikeSunFor  = 4 * time.Hour  // with so much sun in it,
	airLikeSunDeg  = 10
	airLikeSwingK  = 6 // while the air itself swings: snow would not follow it
	swapGapK       = 15
	swapLayersK    = 5
	swapWellK      = 1
	stuckWindow    = 72 * time.Hour
	stuckTopK      = 0.7
	stuckBottomK   = 12
	unrestMemory   = 6 * time.Hour
	unrestK        = 0.7
	unrestWellK    = 0.4
	unrestLeastFor = 2 * time.Hour
	wildMemory     = time.Hour
	wildTankK      = 4.0
	wildLoopK      = 12.0
)

// PocketSigns follows where probes seem to sit.
type PocketSigns struct {
	PeakK    float64 `json:"peak"` // largest of collector above air, today
	AirC     float64 `json:"air"`  // warmest air today
	ColdDays int     `json:"cold_days"`
	LikeAir  bool    `json:"like_air"` // was found by another sign, until a sunny day proves otherwise

	HotByNight bool `json:"hot_by_night"` // the tank bottom was hotter than the top, in the last dark

	Running   bool          `json:"running"`       // a run of the pump is followed
	AirFor    time.Duration `json:"in_air_ns"`     // the collector has been like the air
	AirSunFor time.Duration `json:"in_air_sun_ns"` // of that in the sun
	AirLowC   float64       `json:"in_air_low"`    // in that time
	AirHighC  float64       `json:"in_air_high"`

	RunFromC float64 `json:"run_from"` // tank bottom when it began
	RunLowC  float64 `json:"run_low"`  // collector in it
	RunHighC float64 `json:"run_high"`
	RunAirK  float64 `json:"run_air"` // furthest of collector from the air in it

	WindowFor   time.Duration `json:"window_ns"`
	TopStillFor time.Duration `json:"top_still_ns"` // since the top was seen to move
	TopStuck    bool          `json:"top_stuck"`    // it does not follow its tank
	TopLow      float64       `json:"top_low"`
	TopHigh     float64       `json:"top_high"`
	BottomLow   float64       `json:"bottom_low"`
	BottomHigh  float64       `json:"bottom_high"`
}

// UnrestSigns is how unsteady a probe is, from look to look.
type UnrestSigns struct {
	Last   float64       `json:"last"`
	Step   float64       `json:"step"` // to the look before
	Looks  int           `json:"looks"`
	Unrest float64       `json:"unrest"`
	For    time.Duration `json:"for_ns"`

	Window    float64       `json:"window"` // mean of the last looks, until there are enough of them
	WindowFor time.Duration `json:"window_ns"`
}

// lookAtPockets looks for probes that read another place than they should.
func (c *Controller) lookAtPockets(s *system, g *glance) {
	c.lookForHeatFromNowhere(s, g)
	c.lookForAirInstead(s, g)
	c.lookForLooseCollector(s, g)
	c.lookForSwaps(s, g)
	c.lookForStuckTop(s, g)
	c.lookAtUnrest(s, g)
}

// lookForHeatFromNowhere looks for runs of the pump that heat the tank while the
// collector stays as cold as the air: its probe hangs in it.
func (c *Controller) lookForHeatFromNowhere(s *system, g *glance) {
	m := &s.mem.Signs.Pocket
	day := g.sunDeg > sunnyDeg // on a warm evening water from the mains is colder than the air
	if !day || g.pumpShare < 1 || !g.gapKnown || !s.outdoor.OK() || !s.tankBottom.OK() {
		m.Running = false
		return
	}
	collectorC, airK := s.collector.Value, math.Abs(s.collector.Value-s.outdoor.Value)
	if !m.Running {
		m.Running, m.RunFromC, m.RunLowC, m.RunHighC, m.RunAirK = true, s.tankBottom.Value, collectorC, collectorC, airK
	}
	m.RunLowC, m.RunHighC, m.RunAirK = min(m.RunLowC, collectorC), max(m.RunHighC, collectorC), max(m.RunAirK, airK)
	gainK := s.tankBottom.Value - m.RunFromC
	if gainK >= airRunGainK && m.RunHighC-m.RunLowC <= airRunSwingK && m.RunAirK <= airRunGapK {
		m.LikeAir = true
		c.note(FoundProbeOutOfPocket, s.index, int(Collector), present, g.span, because(SawHeatFromNowhere, gainK, collectorC, s.outdoor.Value))
	}
}

// lookForAirInstead looks for a collector that follows the air through day and
// night: in the sun a real one is hotter, under a clear night sky colder.
func (c *Controller) lookForAirInstead(s *system, g *glance) {
	m := &s.mem.Signs.Pocket
	if !s.outdoor.OK() || !s.collector.OK() {
		return
	}
	air := s.outdoor.Value
	if math.Abs(s.collector.Value-air) > airLikeK {
		m.AirFor, m.AirSunFor = 0, 0
		return
	}
	if m.AirFor == 0 {
		m.AirLowC, m.AirHighC = air, air
	}
	m.AirFor = min(m.AirFor+g.span, longestSpan)
	m.AirLowC, m.AirHighC = min(m.AirLowC, air), max(m.AirHighC, air)
	if g.sunDeg > airLikeSunDeg {
		m.AirSunFor = min(m.AirSunFor+g.span, longestSpan)
	}
	if m.AirFor >= airLikeFor && m.AirSunFor >= airLikeSunFor && m.AirHighC-m.AirLowC >= airLikeSwingK {
		m.LikeAir = true
		c.note(FoundProbeOutOfPocket, s.index, int(Collector), present, g.span, because(SawAirInstead, seconds(m.AirFor), m.AirLowC, m.AirHighC))
	}
}

// lookForLooseCollector counts days on which the collector stayed near the air.
func (c *Controller) lookForLooseCollector(s *system, g *glance) {
	m := &s.mem.Signs.Pocket
	if !s.outdoor.OK() {
		return
	}
	if s.collector.OK() && g.sunDeg > sunnyDeg {
		m.PeakK = max(m.PeakK, s.collector.Value-s.outdoor.Value)
		m.AirC = max(m.AirC, s.outdoor.Value)
	}
	if !g.dusk {
		return
	}
	switch {
	case m.PeakK >= pocketGapK:
		m.ColdDays, m.LikeAir = 0, false
	case m.AirC > pocketAirC && m.PeakK != 0:
		m.ColdDays = min(m.ColdDays+1, 10000)
	}
	if cold := m.ColdDays >= pocketDays; cold || !m.LikeAir { // else it stands by what was seen then
		c.note(FoundProbeOutOfPocket, s.index, int(Collector), sees(cold), g.span, because(SawColdDays, float64(m.ColdDays), m.PeakK))
	}
	m.PeakK, m.AirC = 0, 0
}

// lookForSwaps looks for layers that lie upside down, and for a "tank bottom"
// that is hotter than tank and collector in the sun.
func (c *Controller) lookForSwaps(s *system, g *glance) {
	if c.probeIsWrong(s, TankTop) || c.probeIsWrong(s, TankBottom) {
		c.note(FoundTankProbesSwapped, s.index, 0, absent, g.span, Reason{}) // that explains it
		return
	}
	if !s.tankTop.OK() || !s.tankBottom.OK() {
		return
	}
	top, bottom := s.tankTop.Value, s.tankBottom.Value
	if s.collector.OK() {
		m := &s.mem.Signs.Pocket
		if g.dark { // no collector is hot now
			m.HotByNight = bottom > top+swapLayersK
		}
		day := g.sunDeg > sunnyDeg || !c.sky.known
		swapped := day && !m.HotByNight && bottom > top+swapGapK && bottom > s.collector.Value+swapGapK
		well := g.sunDeg > sunnyDeg && bottom < top+swapWellK || m.HotByNight
		c.note(FoundCollectorSwapped, s.index, 0, clearedBy(swapped, well), g.span, because(SawCollectorSwapped, bottom, top, s.collector.Value))
	}
	rests := g.pumpShare == 0 && g.heaterShare == 0
	if rests {
		c.note(FoundTankProbesSwapped, s.index, 0, clearedBy(bottom > top+swapLayersK, bottom < top-swapWellK), g.span, because(SawTankProbesSwapped, top, bottom))
	}
}

// probeIsWrong tells that a reading is found to be no temperature.
func (c *Controller) probeIsWrong(s *system, place Place) bool {
	return c.raised(FoundProbeFrozen, s.index, int(place)) || c.raised(FoundProbeOutOfRange, s.index, int(place)) || c.raised(FoundProbeOutOfPocket, s.index, int(place))
}

// lookForStuckTop looks for a top that stays put while the bottom swings. What it
// has proved of hygiene since it last moved is void (rule_hygiene.go).
func (c *Controller) lookForStuckTop(s *system, g *glance) {
	m := &s.mem.Signs.Pocket
	m.TopStillFor = min(m.TopStillFor+g.span, longestSpan)
	if !s.tankTop.OK() || !s.tankBottom.OK() {
		m.WindowFor = 0
		return
	}
	top, bottom := s.tankTop.Value, s.tankBottom.Value
	if m.WindowFor == 0 {
		m.TopLow, m.TopHigh, m.BottomLow, m.BottomHigh = top, top, bottom, bottom
	}
	m.WindowFor += g.span
	m.TopLow, m.TopHigh = min(m.TopLow, top), max(m.TopHigh, top)
	m.BottomLow, m.BottomHigh = min(m.BottomLow, bottom), max(m.BottomHigh, bottom)
	swing, moved := m.BottomHigh-m.BottomLow, m.TopHigh-m.TopLow
	moves := moved > 2*stuckTopK
	if moves || m.WindowFor >= stuckWindow {
		stuck := moved < stuckTopK && swing > stuckBottomK
		c.note(FoundTankTopStuck, s.index, 0, clearedBy(stuck, moves), g.span,
			because(SawTankTopStuck, top, seconds(m.WindowFor), swing))
		m.TopStuck = stuck || m.TopStuck && !moves
		if stuck {
			s.takeClaimBack(m.TopStillFor)
		}
		if moves {
			m.TopStillFor = 0
		}
		m.WindowFor = 0
	}
}

// lookAtUnrest learns how much the system's probes flicker on quiet nights.
func (c *Controller) lookAtUnrest(s *system, g *glance) {
	quiet := g.dark && g.pumpRest >= nightRest && g.heaterRest >= nightRest
	for i, pr := range c.plan.Probes {
		if pr.System != s.index && !(pr.System == House && s.index == 0) || pr.Place.Unit() != Celsius || pr.Place == Tap || pr.Place == CirculationReturn {
			continue
		}
		c.lookAtUnrestOf(i, quiet, g.span)
	}
}

// lookAtUnrestOf looks at one probe. At any time of day a burst of draws or a
// pump that starts bends a reading as well, but not for an hour and by so much.
func (c *Controller) lookAtUnrestOf(probe int, quiet bool, span time.Duration) {
	j, pr, m := &c.out.Readings[probe], c.plan.Probes[probe], &c.st.Probes[probe]
	if !j.OK() || j.HeldOver {
		m.Signs.Looks, m.Wild.Looks = 0, 0
		return
	}
	m.Wild.follow(j.Value, span, wildMemory)
	if quiet {
		m.Signs.follow(j.Value, span, unrestMemory)
	} else {
		m.Signs.Looks = 0
	}
	wildK := wildTankK
	if pr.Place == Collector || pr.Place == CoilReturn {
		wildK = wildLoopK
	}
	switch {
	case m.Wild.For >= wildMemory && m.Wild.Unrest > wildK:
		c.note(FoundProbeUnsteady, pr.System, int(pr.Place), present, span, because(SawWild, m.Wild.Unrest))
	case quiet && m.Signs.For >= unrestLeastFor:
		c.note(FoundProbeUnsteady, pr.System, int(pr.Place), clearedBy(m.Signs.Unrest > unrestK, m.Signs.Unrest < unrestWellK), span, because(SawProbeUnsteady, m.Signs.Unrest))
	default: // a loop with much to do against frost has no quiet night
		well := m.Wild.For >= wildMemory && max(m.Wild.Unrest, m.Signs.Unrest) < unrestWellK
		c.note(FoundProbeUnsteady, pr.System, int(pr.Place), clearedBy(false, well), span, Reason{})
	}
}

// calm lets two quiet hours outweigh what was learned before: whatever was the
// matter has been mended.
func (m *UnrestSigns) calm(bend float64, span time.Duration) {
	m.WindowFor += span
	m.Window += share(span, m.WindowFor) * (bend - m.Window)
	if m.WindowFor < unrestLeastFor {
		return
	}
	if m.Window < unrestWellK {
		m.Unrest = min(m.Unrest, m.Window)
	}
	m.WindowFor = 0
}

// follow takes one look: what bends from look to look is no temperature.
func (m *UnrestSigns) follow(value float64, span, memory time.Duration) {
	step := value - m.Last
	if m.Looks >= 2 {
		m.For = min(m.For+span, longestSpan)
		bend := math.Abs(step - m.Step)
		m.Unrest += share(span, min(m.For, memory)) * (bend - m.Unrest)
		m.calm(bend, span)
	}
	m.Looks = min(m.Looks+1, 2)
	m.Last, m.Step = value, step
}
