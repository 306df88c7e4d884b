package control

import (
	"math"
	"time"
)

// The signs of a heater that can't be switched off. Common practice, no source.
const (
	restWindow      = 4 * time.Hour    // a welded heater shows within it
	restSmooth      = 10 * time.Minute // hum and noise of a probe are no heat
	restJumpK       = 3                // from look to look: a probe that was moved
	stuckRest       = 20 * time.Minute // of heater and loop
	stuckRiseK      = 4
	stuckMeanK      = 1
	calmRiseK       = 1  // a tank that nobody heats rises by no more,
	calmFallK       = 4  // and a draw that could hide a rise makes it fall by more
	thermostatBandK = 10 // the heater's own thermostat has closed again so far below where it opens
)

// RestSigns follows a tank whose heater is told to be off.
type RestSigns struct {
	Known    bool          `json:"known"` // nothing but the heater could heat it
	For      time.Duration `json:"for_ns"`
	LastC    float64       `json:"last"` // top at the last look
	NowC     float64       `json:"now"`  // top, without its noise
	NowMeanC float64       `json:"now_mean"`
	LowC     float64       `json:"low"` // lowest top in the window
	LowMeanC float64       `json:"low_mean"`

	CalmFor   time.Duration `json:"calm_ns"` // it has not risen
	CalmFromC float64       `json:"calm_from"`
	CalmLowC  float64       `json:"calm_low"`
	StuckC    float64       `json:"stuck"` // hottest top since it was found
}

// lookForStuckHeater looks for heat in a tank that nobody heats.
func (c *Controller) lookForStuckHeater(s *system, g *glance) {
	if s.heaterCurrent.OK() {
		if g.heaterRest >= heaterSettle {
			c.note(FoundHeaterRelayStuck, s.index, 0, sees(s.heaterCurrent.Value >= leastHeaterA), g.span,
				because(SawHeaterCurrentOff, s.heaterCurrent.Value, seconds(g.heaterRest)))
		}
		return
	}
	m := &s.mem.Signs.Heater.Rest
	if g.heaterRest < stuckRest || g.pumpRest < stuckRest || !c.sunless(s, g) || !s.tankTop.OK() {
		m.Known, m.CalmFor = false, 0
		c.note(FoundHeaterRelayStuck, s.index, 0, unclear, g.span, Reason{})
		return
	}
	m.follow(s.tankTop.Value, g.meanC, g.span)
	rises := m.NowC >= m.LowC+stuckRiseK && m.NowMeanC >= m.LowMeanC+stuckMeanK
	if !c.raised(FoundHeaterRelayStuck, s.index, 0) {
		m.StuckC = 0
	}
	m.StuckC = max(m.StuckC, m.NowC)
	// Its own thermostat may be what keeps a welded heater from heating, but not
	// far below where it has opened.
	closed := max(m.StuckC, s.set.HeaterStopC) - thermostatBandK
	well := m.CalmFor >= s.nothingAfter() && m.NowC <= closed
	c.note(FoundHeaterRelayStuck, s.index, 0, clearedBy(rises, well), g.span, because(SawHeaterRises, m.LowC, m.NowC, seconds(g.heaterRest)))
}

// sunless tells that nothing brings heat into the tank but its heater: it is dark,
// or the collector is colder than the tank. By day a pump that can't be stopped
// looks like a heater that can't, unless the collector stands far too hot to be
// pumped; and natural circulation shows on the collector alone, whose probe may be
// wrong.
func (c *Controller) sunless(s *system, g *glance) bool {
	switch {
	case g.dark:
		return true
	case s.pump == none:
		return g.loopRests && !c.sky.known
	}
	return s.collector.OK() && s.collector.Value < s.hottestC-coldLoopK || g.gapKnown && g.gapK >= deadGapK
}

// follow takes one look at a tank at rest.
func (m *RestSigns) follow(topC, meanC float64, span time.Duration) {
	if jumped := math.Abs(topC-m.LastC) > restJumpK; !m.Known || jumped {
		*m = RestSigns{NowC: topC, NowMeanC: meanC, CalmFromC: topC, CalmLowC: topC, StuckC: m.StuckC}
	}
	m.LastC = topC
	part := share(span, restSmooth)
	m.NowC += part * (topC - m.NowC)
	m.NowMeanC += part * (meanC - m.NowMeanC)
	if m.For += span; !m.Known || m.For > restWindow {
		m.Known, m.For, m.LowC, m.LowMeanC = true, 0, m.NowC, m.NowMeanC
	}
	if m.NowC < m.LowC {
		m.LowC, m.LowMeanC = m.NowC, m.NowMeanC
	}
	m.CalmLowC = min(m.CalmLowC, m.NowC)
	if m.NowC > m.CalmLowC+calmRiseK || m.NowC < m.CalmFromC-calmFallK {
		m.CalmFor, m.CalmFromC, m.CalmLowC = 0, m.NowC, m.NowC
	}
	m.CalmFor = min(m.CalmFor+span, longestSpan)
}
