package control

// system is one system as its rules see it: its plan, settings and memory, and
// this step's judged readings. A reading that is not wired is the shared
// absent one, which is never good.
type system struct {
	index int
	plan  *System
	set   *Settings
	mem   *SystemState

	collector, tankTop, tankBottom, outdoor *Judged

	collectorProbe, outdoorProbe *ProbeState // nil when not wired
	pump, heater                 int         // output index or none

	frostCirculates bool // frost protection asks for the pump in this step
}

// coil gives the reading beside the solar coil: the tank bottom, or the tank
// top in its stead, which is hotter and so starts the pump later.
func (s *system) coil() (reading *Judged, standIn bool) {
	if s.tankBottom.OK() {
		return s.tankBottom, false
	}
	return s.tankTop, true
}

// hottest gives the hottest good tank reading; ok is false when there is none.
// Limits are judged by it alone, so that one probe stuck low can't cook the
// tank.
func (s *system) hottest() (tempC float64, ok bool) {
	switch {
	case s.tankTop.OK() && s.tankBottom.OK():
		return max(s.tankTop.Value, s.tankBottom.Value), true
	case s.tankTop.OK():
		return s.tankTop.Value, true
	case s.tankBottom.OK():
		return s.tankBottom.Value, true
	}
	return 0, false
}

// latched is a threshold with memory: true from the threshold on, until the
// value has come back by the band.
func latched(was bool, value, threshold, band float64) bool {
	return value >= threshold || was && value > threshold-band
}
