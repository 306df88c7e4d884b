package control

import "time"

// Outlook is what the rule that waits for the sun foresees of a system, as of its
// last plan. Its spans run from now.
type Outlook struct {
	LearnedDays int  // of draws
	Decides     bool // the rule decides over the heater, and not its windows

	SunKWh    float64       // that the sun should bring in SunSpan
	ToldShare float64       // of it that goes by the site's forecast and not by the plant's own days, 0 to 1
	SunLow    float64       // part of it that nine days of ten bring at least, 0 to 1
	SunSpan   time.Duration // 12 h
	WantedKWh float64       // that will likely be drawn in WantSpan
	WantSpan  time.Duration // 18 h
	Starts    bool          // the heater must start within the 18 h
	StartIn   time.Duration // until then; 0 when it must now
}

// OutlookOf gives the outlook of a system; ok is false while there is none: the
// setting is 0 %, a reading is missing or the clock is not set.
func (c *Controller) OutlookOf(system int) (o Outlook, ok bool) {
	s := &c.systems[system]
	m := &s.mem.SunFirst
	if !s.learns || !m.Planned {
		return Outlook{}, false
	}
	low, _ := m.Sun.edges()
	if m.ToldShare > 0 {
		low = m.Told.Low
	}
	return Outlook{
		LearnedDays: int(m.Draws.days()), Decides: s.sunLeads(),
		SunKWh: m.SunKWh, ToldShare: m.ToldShare, SunLow: low[restOfToday], SunSpan: sunAhead,
		WantedKWh: m.WantedKWh, WantSpan: drawAhead,
		Starts: m.Starts, StartIn: max(0, m.StartIn-m.PlanFor),
	}, true
}
