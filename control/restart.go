package control

import "time"

// LongestAway bounds what [Controller.WasAway] believes: after a year all that
// ages by the calendar is due, and a larger figure is a clock that was wrong.
const LongestAway = 366 * 24 * time.Hour

// Restarted tells the controller that the program was not running for a while:
// outputs are off now, and readings of before prove nothing about now.
// Counters, rule memories, findings and the rest of an override stay.
func (c *Controller) Restarted() {
	for i := range c.st.Outputs {
		c.st.Outputs[i].Level, c.st.Outputs[i].InState = 0, 0
	}
	for i := range c.st.Systems {
		c.st.Systems[i].Fresh = true
		c.st.Systems[i].Balance.Known = false // nobody saw what the tank did meanwhile
	}
	for i := range c.st.Probes {
		p := &c.st.Probes[i]
		p.Known, p.Doubted, p.Sample = false, false, 0
	}
	c.forgetMoment()
	c.startedAt, c.holidayAsked = c.st.Service, false
}

// WasAway tells how long no program had run before the last [Controller.Restarted],
// once that is known: the board's clock may be set long after the start. It ages
// what ages by itself, which is the water since its last hygiene heat-up, the
// pump that stands, and a holiday. It never counts as a minimum run or rest time,
// and never for what has happened since the start. A long time away is told of as
// a finding. Below 0 counts as 0, above
// [LongestAway] as that.
func (c *Controller) WasAway(away time.Duration) {
	away = min(max(0, away), LongestAway)
	run := c.st.Service - c.startedAt
	for i := range c.st.Systems {
		m := &c.st.Systems[i]
		if c.plan.Systems[i].Settings.HygieneInterval > 0 && m.HygieneSince >= run {
			m.HygieneSince = aged(m.HygieneSince, away)
		}
		if m.LineSince >= run {
			m.LineSince = aged(m.LineSince, away)
		}
	}
	for i := range c.st.Outputs {
		if o := &c.st.Outputs[i]; o.Idle >= run {
			o.Idle = aged(o.Idle, away)
		}
	}
	if away >= awayLeast {
		c.st.House.AwayFor, c.st.House.AwayAgo = away, run
	}
	if !c.holidayAsked {
		c.st.HolidayLeft = max(0, c.st.HolidayLeft-away)
	}
}

// aged is an age with a time away added to it, up to half of what a saved state may
// hold: a board whose clock is wrong at every start must not end with a memory that
// the next start refuses.
func aged(age, away time.Duration) time.Duration { return min(age+away, longestSpan/2) }

// MemoryLost tells that earlier runs have left nothing that can be used. Nobody
// knows when the water was last hot, so a hygiene heat-up is due.
func (c *Controller) MemoryLost() {
	for i := range c.st.Systems {
		m := &c.st.Systems[i]
		interval := c.plan.Systems[i].Settings.HygieneInterval
		m.HygieneSince, m.LineSince = max(m.HygieneSince, interval), max(m.LineSince, interval)
	}
}
