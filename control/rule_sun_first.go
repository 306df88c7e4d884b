package control

import (
	"fmt"
	"math"
	"slices"
	"time"
)

// SunFirst is what the rule that waits for the sun remembers of a system. The
// figures of the plan are those of its last look.
type SunFirst struct {
	Tank  TankPicture `json:"tank"`
	Draws DrawHabits  `json:"draws"`
	Sun   SunHabits   `json:"sun"`
	Told  ToldSun     `json:"told"`

	PlanFor   time.Duration `json:"plan_ns"`     // since it was planned
	Planned   bool          `json:"planned"`     // the rest is known
	Heat      bool          `json:"heat"`        // the heater must help now
	PlanTopC  float64       `json:"plan_top"`    // tank top when it was planned
	PriceSpan int           `json:"price_span"`  // of the tariff, when it was planned
	SunKWh    float64       `json:"sun_soon"`    // foreseen for sunAhead
	ToldShare float64       `json:"told_share"`  // of it, that a forecast of others has foretold
	WantedKWh float64       `json:"wanted_soon"` // likely drawn within drawAhead
	Ahead     bool          `json:"ahead"`       // it heats earlier than it must, since power is dearer then
	StartIn   time.Duration `json:"start_ns"`    // until the heater must start, when it was planned
	Starts    bool          `json:"starts"`      // it must, within the outlook
}

const (
	planPeriod = 5 * time.Minute
	planFallK  = 3 // of the tank top since the last plan, which asks for a new one
)

// learnsOf tells whether a system has what the rule needs, and is asked to use it.
func (s *system) learnsOf() bool {
	p := s.plan
	return s.set.SuretyPercent > 0 && s.heater != none && p.HeaterW > 0 && p.TankL > 0 && s.topProbe != nil && s.bottomProbe != nil
}

// sunLeads tells whether the rule decides over the heater, and not its windows.
func (s *system) sunLeads() bool {
	return s.learns && s.mem.SunFirst.Planned && s.mem.SunFirst.Draws.learned()
}

// sunFirstRule lets the heater wait for the sun as long as hot water allows. It
// is a wish of economy: the floor, a person's wish and all protections stand
// above it. It says why it waits, and until when it will.
func (c *Controller) sunFirstRule(s *system) {
	m := &s.mem.SunFirst
	if !s.learns || s.mem.BoostLeft > 0 || c.onHoliday() || c.heatedAfter(s) != none {
		return
	}
	if c.outlivesPrice(s) {
		c.planAnew(s)
	}
	if m.Heat && s.tankTop.OK() && s.tankTop.Value >= s.set.HeaterStopC {
		m.Heat = false
		c.planAnew(s)
		m.Heat = false // until the next plan, so that a scattering probe does not switch it
	}
	b := &c.ballots[s.heater]
	switch {
	case !s.tankTop.OK():
	case !m.Planned:
		b.rest(SaysSunFirstBlind, s.tankTop.Value, 0, 0)
	case !m.Draws.learned():
		b.rest(SaysSunFirstLearns, m.Draws.days(), habitDays, 0)
	case m.Heat && m.Ahead:
		b.cast(1, Economy, because(SaysSunFirstAhead, s.tankTop.Value, m.WantedKWh, m.SunKWh))
	case m.Heat:
		b.cast(1, Economy, because(m.says(SaysSunFirstHeats, SaysToldSunHeats), s.tankTop.Value, m.WantedKWh, m.SunKWh))
	case !m.Starts || m.StartIn <= m.PlanFor && s.tankTop.Value >= s.set.HeaterStopC:
		b.rest(m.says(SaysSunFirstEnough, SaysToldSunEnough), m.WantedKWh, m.SunKWh, 0)
	case m.SunKWh > leastSunKWh:
		b.rest(m.says(SaysSunFirstWaits, SaysToldSunWaits), m.SunKWh, m.WantedKWh, m.startMinute(c.minute))
	default:
		b.rest(SaysSunFirstLater, m.WantedKWh, m.startMinute(c.minute), 0)
	}
}

// says is the sentence that tells by which forecast the sun was foreseen for the
// most part.
func (m *SunFirst) says(own, told Words) Words {
	if m.ToldShare > 0.5 {
		return told
	}
	return own
}

// leastSunKWh is heat that is worth the word.
const leastSunKWh = 0.2

// startMinute is the minute of the day at which the heater would start.
func (m *SunFirst) startMinute(now int) float64 {
	return math.Mod(float64(now)+max(0, (m.StartIn-m.PlanFor).Minutes()), dayMinutes)
}

// followHabits learns once a minute, and plans from time to time.
func (c *Controller) followHabits(s *system, span time.Duration) {
	m := &s.mem.SunFirst
	if !s.learns || !s.tankTop.OK() || !s.tankBottom.OK() || !c.clockSet {
		m.forgetMoment()
		return
	}
	e := &s.mem.Energy
	minutes := spanMinutes(c.minute, span)
	likelyKWh := m.Draws.within(c.dayOf, c.minute+1-minutes, minutes) * span.Minutes() / float64(minutes)
	m.Draws.follow(e.DrawnJ/jPerKWh, c.dayOf, c.minute, span)
	m.Tank.follow(&s.figures, &tankLook{
		topC: s.tankTop.Value, bottomC: s.tankBottom.Value, coldC: s.coldWaterC(), wantedC: s.set.TapC,
		meterKWh: e.MeterJ / jPerKWh, drawnKWh: likelyKWh, span: span,
	})
	m.PlanFor += span
	due := m.PlanFor >= planPeriod || s.tankTop.Value <= m.PlanTopC-planFallK
	if due || !m.Planned {
		c.planAnew(s)
	}
}

// planAnew plans, with what the sun has brought since the last plan. A value that
// only stands in for a bad sample starts nothing.
func (c *Controller) planAnew(s *system) {
	if s.tankTop.HeldOver || s.tankBottom.HeldOver {
		return
	}
	m := &s.mem.SunFirst
	spoilt := s.mem.TankFull || s.mem.Steaming || c.onHoliday() || c.st.Servicing || c.plan.ObserveOnly
	was := m.Sun
	m.Sun.follow(s.clearKW[c.minute/60], s.clearDayKWh, s.mem.Energy.SunJ/jPerKWh, c.dayOf, spoilt, m.PlanFor)
	rest, known := c.toldToday(s)
	m.Told.follow(&was, &m.Sun, rest, known)
	m.PlanFor, m.PlanTopC, m.Planned, m.PriceSpan = 0, s.tankTop.Value, true, c.tariff.at(float64(c.minute))
	c.planHeater(s)
}

// outlivesPrice tells whether power costs otherwise than when it was planned: a
// plan of the cheap hours must not start the heater in the first dear one.
func (c *Controller) outlivesPrice(s *system) bool {
	m := &s.mem.SunFirst
	return m.Planned && s.tankTop.OK() && s.tankBottom.OK() && c.clockSet && m.PriceSpan != c.tariff.at(float64(c.minute))
}

// forgetMoment drops what was under way; what was learned stays.
func (m *SunFirst) forgetMoment() {
	m.Tank.Known, m.Draws.Known, m.Sun.Known, m.Planned, m.Heat, m.PlanFor = false, false, false, false, false, 0
}

// check refuses a memory that no run of this program can have left.
func (m *SunFirst) check(system string) error {
	wrong := func(v float64, what string) error {
		return fmt.Errorf("control: the saved state has %g for the %s of %q", v, what, system)
	}
	for _, v := range m.Tank.Layers {
		if !(v >= -100 && v <= 300) {
			return wrong(v, "tank's picture")
		}
	}
	d, h, told := &m.Draws, &m.Sun, &m.Told
	figures := slices.Concat(d.Slots[workingDay][:], d.Slots[freeDay][:], d.Today[:], d.Covered[:], d.Days[:], h.Low[:], h.High[:], h.Foreseen[:],
		told.Judged[:], told.OwnMiss[:], told.ToldMiss[:], told.Low[:], told.Now[:],
		[]float64{told.Days, told.Sun, told.Light, m.ToldShare, d.BurstKWh, d.Away, h.Days, h.Ratio, h.Last, h.Clear, h.Sun, h.LatelyClear, h.LatelySun, h.Before, m.Tank.MeterKWh, m.Tank.UnseenKWh})
	for _, v := range figures {
		if !(v >= 0) {
			return wrong(v, "learned habits")
		}
	}
	for _, v := range []float64{h.Low[restOfToday], h.Low[allTomorrow], told.Low[restOfToday], told.Low[allTomorrow], m.ToldShare} {
		if v > 1 { // it would make more sun sure than is foreseen
			return wrong(v, "part of the sun that is sure")
		}
	}
	return checkLearned(m)
}
