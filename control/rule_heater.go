package control

import "time"

// heaterFloorBandK is how far above its floor the backup heater goes on.
const heaterFloorBandK = 5

// heaterRule heats the tank top by hysteresis inside the heater's windows,
// above a floor at any time, and at once when a person has asked for hot water
// now. A tank whose water is made hot in another one keeps to its floor. Without a good tank top reading it wants nothing;
// rule_heater_guard.go then keeps the heater off.
func (c *Controller) heaterRule(s *system, elapsed time.Duration) {
	m, set, top := s.mem, s.set, s.tankTop.Value
	m.BoostLeft = max(0, m.BoostLeft-elapsed)
	if !s.tankTop.OK() {
		m.HeaterWanted, m.FloorWanted = false, false
		return
	}
	away := c.onHoliday()
	after := c.heatedAfter(s)
	inside := !away && s.heaterWindow && after == none && !s.sunLeads()
	// A value that only stands in for a bad sample starts nothing.
	starts := !s.tankTop.HeldOver
	m.HeaterWanted = inside && (starts && top <= set.HeaterStartC || m.HeaterWanted && top < set.HeaterStopC)
	floorEnd := min(set.HeaterFloorC+heaterFloorBandK, set.HeaterStopC)
	m.FloorWanted = starts && top < set.HeaterFloorC || m.FloorWanted && top < floorEnd
	if set.HeaterFloorC == 0 {
		m.FloorWanted = false
	}
	if top >= set.HeaterStopC {
		m.BoostLeft = 0 // what was asked for is there
	}
	b := &c.ballots[s.heater]
	switch {
	case m.BoostLeft > 0:
		b.cast(1, Comfort, because(SaysBoost, top, set.HeaterStopC, seconds(m.BoostLeft)))
	case m.HeaterWanted && top <= set.HeaterStartC:
		b.cast(1, Comfort, because(SaysHeaterCold, top, set.HeaterStartC))
	case m.HeaterWanted:
		b.cast(1, Comfort, because(SaysHeaterHeating, top, set.HeaterStopC))
	case m.FloorWanted:
		b.cast(1, Comfort, because(SaysHeaterFloor, top, floorEnd, set.HeaterFloorC))
	case away:
		b.rest(SaysHoliday, top, seconds(c.st.HolidayLeft), 0)
	case after != none:
		b.rest(SaysHeaterFeeds, top, float64(after+1), 0)
	case inside:
		b.rest(SaysHeaterWarm, top, set.HeaterStartC, 0)
	case !c.clockSet:
		b.rest(SaysHeaterClock, top, 0, 0)
	default:
		b.rest(SaysHeaterOutsideWindows, top, 0, 0)
	}
}
