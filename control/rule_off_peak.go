package control

// offPeakBandK is how much a tank must have cooled below off_peak_stop before
// cheap power heats it again.
const offPeakBandK = 5

// offPeakRule heats the tank higher than comfort asks for while power is cheap,
// where windows for it are set: so that dear hours need none. It is a wish of
// economy; tank limit and all other protections stand above it, and nobody
// needs the water in a holiday.
func (c *Controller) offPeakRule(s *system) {
	m, set, top := s.mem, s.set, s.tankTop
	if !s.offPeak || s.sunLeads() || !top.OK() || c.onHoliday() || c.heatedAfter(s) != none {
		m.OffPeakWanted = false
		return
	}
	m.OffPeakWanted = !top.HeldOver && top.Value <= set.OffPeakStopC-offPeakBandK ||
		m.OffPeakWanted && top.Value < set.OffPeakStopC
	if m.OffPeakWanted {
		c.ballots[s.heater].cast(1, Economy, because(SaysOffPeak, top.Value, set.OffPeakStopC))
	}
}
