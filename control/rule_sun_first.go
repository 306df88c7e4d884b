package control

import (
	"math"
	"time"
)

// SunFirst is what the rule that waits for the sun remembers of a system.
type SunFirst struct {
	Tank     TankPicture   `json:"tank"`
	Draws    DrawHabits    `json:"draws"`
	Sun      SunHabits     `json:"sun"`
	PlanFor  time.Duration `json:"plan_ns"` // since it was planned
	Planned  bool          `json:"planned"`
	Leads    bool          `json:"leads"` // it decides, and not the windows
	Heat     bool          `json:"heat"`
	PlanTopC float64       `json:"plan_top"`
	SunKWh   float64       `json:"sun_kwh"`
	NeedKWh  float64       `json:"need_kwh"`
	WaitFor  time.Duration `json:"wait_ns"`
}

const (
	planPeriod  = 10 * time.Minute
	planStep    = 30 * time.Minute
	planSteps   = 48
	planGiveUpK = 3
)

var tune = struct{ W, Z, Obs, HoldH, NeedK float64 }{1, 1, 1, 0.5, 2}

// followHabits learns once a minute, and plans from time to time.
func (c *Controller) followHabits(s *system, span time.Duration) {
	m := &s.mem.SunFirst
	if !s.learns {
		return
	}
	if !s.tankTop.OK() || !s.tankBottom.OK() || !c.clockSet {
		m.Tank.Known, m.Planned, m.Draws.Known, m.Sun.Known = false, false, false, false
		return
	}
	e := &s.mem.Energy
	heaterJ := e.MeterJ - jPerKWh*m.Tank.MeterKWh
	m.Tank.MeterKWh = e.MeterJ / jPerKWh
	drawnJ := tune.Obs * jPerKWh * m.Draws.mean(kindOfDay(c.dayOf), c.minute/60) * span.Hours()
	m.Draws.follow(e.DrawnJ/jPerKWh, c.dayOf, c.minute, span)
	wanted := s.set.TapC
	m.Tank.follow(&s.figures, s.tankTop.Value, s.tankBottom.Value, s.coldWaterC(), wanted, heaterJ, drawnJ, span)
	m.PlanFor += span
	if m.Planned && m.PlanFor < planPeriod && s.tankTop.Value > m.PlanTopC-planGiveUpK {
		return
	}
	useful := c.usefulClear(c.wall, s.plan.Plane)
	spoilt := s.mem.TankFull || s.mem.Steaming || c.st.HolidayLeft > 0 || c.st.Servicing || c.plan.ObserveOnly
	m.Sun.follow(useful, e.SunJ/jPerKWh, c.dayOf, spoilt, m.PlanFor)
	m.PlanFor = 0
	m.PlanTopC = s.tankTop.Value
	m.Planned = true
	c.planHeater(s)
}

// planHeater works out when the heater must start at the latest.
func (c *Controller) planHeater(s *system) {
	m, f := &s.mem.SunFirst, &s.figures
	p := s.set.SuretyPercent / 100
	z := tune.Z * math.Sqrt2 * math.Erfinv(2*p-1)
	coldC := s.coldWaterC()
	needC := s.set.TapC + tune.NeedK
	layers := m.Tank.Layers
	today, tomorrow := m.Sun.today(), m.Sun.tomorrow()
	latest := math.Inf(1)
	h := &m.Draws
	zoneJK := float64(pictureLayers-f.heaterAt) * f.layerJK
	dayEnds := dayMinutes - float64(c.minute)
	m.SunKWh, m.NeedKWh, m.WaitFor = 0, 0, 0
	for i := range planSteps {
		at := time.Duration(i) * planStep
		minute := float64(c.minute) + at.Minutes()
		day := c.dayOf
		mean := h.within(day, minute, planStep)
		window := h.within(day, minute, time.Duration(tune.W*float64(time.Hour)))
		need := h.careful(window, z)
		if need > 0.15 {
			needJ := need * jPerKWh
			if layers.hotJ(f, coldC, needC) < needJ {
				fillC := min(s.set.HeaterStopC, max(needC, coldC+needJ/zoneJK))
				if lacks := layers.lacksJ(f, fillC); lacks > 0 {
					latest = min(latest, seconds(at)-lacks/f.heaterW)
					if latest <= 0 {
						break
					}
				}
			}
		}
		m.NeedKWh += mean
		layers.draw(f, mean*jPerKWh, coldC, needC)
		ratio := today
		if at.Minutes() > dayEnds {
			ratio = tomorrow
		}
		if useful := c.usefulClear(c.wall.Add(at+planStep/2), s.plan.Plane); useful > 0 {
			m.SunKWh += ratio * useful * planStep.Hours()
			layers.sun(f, usualLow*ratio*useful*planStep.Hours()*jPerKWh)
		}
		layers.cool(f, seconds(planStep))
	}
	if !math.IsInf(latest, 1) {
		m.WaitFor = time.Duration(max(0, latest) * float64(time.Second))
	}
	hold := planPeriod.Seconds()
	if m.Heat {
		hold = tune.HoldH * 3600
	}
	m.Heat = latest <= hold
	m.Leads = s.set.SuretyPercent > 0 && m.Draws.learned()
}

// sunLeads tells whether the rule decides, and not the heater's windows.
func (s *system) sunLeads() bool {
	return s.learns && s.mem.SunFirst.Leads && s.mem.SunFirst.Planned
}

// sunFirstRule lets the heater wait for the sun.
func (c *Controller) sunFirstRule(s *system) {
	m := &s.mem.SunFirst
	if !s.sunLeads() || s.mem.BoostLeft > 0 || c.st.HolidayLeft > 0 || !s.tankTop.OK() || c.heatedAfter(s) != none {
		return
	}
	b := &c.ballots[s.heater]
	switch {
	case m.Heat && s.tankTop.Value < s.set.HeaterStopC:
		b.cast(1, Economy, because(SaysSunFirstHeats, s.tankTop.Value, m.NeedKWh, m.SunKWh))
	case m.WaitFor > 0:
		b.rest(SaysSunFirstWaits, m.SunKWh, m.NeedKWh, seconds(m.WaitFor))
	default:
		b.rest(SaysSunFirstSure, m.SunKWh, m.NeedKWh, 0)
	}
}
