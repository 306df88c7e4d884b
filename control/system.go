package control

import "time"

// system is one system as its rules see it: its plan, settings and memory, and
// this step's judged readings. A reading that is not wired is the shared
// absent one, which is never good.
type system struct {
	index int
	plan  *System
	set   *Settings
	mem   *SystemState

	collector, tankTop, tankBottom, outdoor *Judged

	// Of plants that have more than the usual probes.
	coilReturn, loopFlow, drawFlow, heaterCurrent     *Judged
	pumpCurrent, loopPressure, circulationReturn, tap *Judged
	button                                            *Judged

	collectorProbe, outdoorProbe    *ProbeState // nil when not wired
	topProbe, bottomProbe           *ProbeState // likewise
	pump, heater, circulation, dump int         // output index or none
	returnWired                     bool        // there is a probe in the circulation's return

	figures     tankFigures       // of the tank, for its picture
	clearKW     [dayHours]float64 // clear light of this day beyond what warms the collector, kW/m² in each hour
	clearDayKWh float64           // their sum, kWh/m²
	// toldKW is the light of each hour of the forecast on the collectors beyond what
	// warms them, kW/m², or untold.
	toldKW     [LightHours]float64
	learns     bool          // it has what habits are learned from
	heatBudget time.Duration // heating time without effect that locks the heater

	// Worked out once a step, or once a minute, for all rules to look at.
	hottestC          float64 // hottest good tank reading
	tankKnown         bool    // there is one
	heaterWindow      bool    // the backup heater may help at this time of the day
	circulationWindow bool    // the pipe to the taps is to be hot at this time of the day
	offPeak           bool    // power is cheap at this time of the day

	frostCirculates bool // frost protection asks for the pump in this step
	dumps           bool // the heat dump is ready to take the loop's heat, past the tank
	frostRefused    bool // it would, but the tank has no warmth to give
}

// coil gives the reading beside the solar coil: the tank bottom, or the tank
// top in its stead. It is hotter, so that the sun's start comes later; where
// the coil's own warmth matters, a stand-in does not do.
func (s *system) coil() (reading *Judged, standIn bool) {
	if s.tankBottom.OK() {
		return s.tankBottom, false
	}
	return s.tankTop, true
}

// hottest gives the hottest good tank reading; ok is false when there is none.
// Limits are judged by it alone, so that one probe stuck low can't cook the
// tank.
func (s *system) hottest() (tempC float64, ok bool) { return s.hottestC, s.tankKnown }

// look works out what many rules ask of the readings of this step.
func (s *system) look() {
	s.hottestC, s.tankKnown = 0, false
	if s.tankTop.OK() {
		s.hottestC, s.tankKnown = s.tankTop.Value, true
	}
	if s.tankBottom.OK() && (!s.tankKnown || s.tankBottom.Value > s.hottestC) {
		s.hottestC, s.tankKnown = s.tankBottom.Value, true
	}
}

// unseenPatience is how long the last word on something hot stands after its
// probe has failed: collectors and tanks may have cooled after that.
const unseenPatience = 6 * time.Hour

// tankSeen tells whether every tank probe that is wired can be read, or has
// been unread for so long that its last word no longer counts.
func (s *system) tankSeen() bool {
	for _, p := range []*ProbeState{s.topProbe, s.bottomProbe} {
		if p != nil && p.Silent > 0 && p.Silent < unseenPatience {
			return false
		}
	}
	return true
}

// full is the latch of the tank limit. It is set by the hottest good reading,
// and let go only when no reading that may have set it is lost.
func (s *system) full(was bool) bool {
	now := s.tankKnown && latched(was, s.hottestC, s.set.TankLimitC, s.set.TankLimitBandK)
	return now || was && !s.tankSeen()
}

// latched is a threshold with memory: true from the threshold on, until the
// value has come back by the band.
func latched(was bool, value, threshold, band float64) bool {
	return value >= threshold || was && value > threshold-band
}
