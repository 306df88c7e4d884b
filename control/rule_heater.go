package control

// heaterFloorBandK is how far above its floor the backup heater goes on.
const heaterFloorBandK = 5

// heaterRule heats the tank top by hysteresis inside the heater's windows, and
// above a floor at any time. Without a good tank top reading it wants nothing;
// rule_heater_guard.go then keeps the heater off.
func (c *Controller) heaterRule(s *system) {
	m, set, top := s.mem, s.set, s.tankTop.Value
	if !s.tankTop.OK() {
		m.HeaterWanted, m.FloorWanted = false, false
		return
	}
	inside := set.HeaterWindows.Always() || c.wall.Trusted && set.HeaterWindows.Contain(c.minute)
	m.HeaterWanted = inside && (top <= set.HeaterStartC || m.HeaterWanted && top < set.HeaterStopC)
	m.FloorWanted = top < set.HeaterFloorC || m.FloorWanted && top < set.HeaterFloorC+heaterFloorBandK
	if set.HeaterFloorC == 0 {
		m.FloorWanted = false
	}
	level, why := 0.0, because(SaysHeaterOutsideWindows, top)
	switch {
	case m.HeaterWanted && top <= set.HeaterStartC:
		level, why = 1, because(SaysHeaterCold, top, set.HeaterStartC)
	case m.HeaterWanted:
		level, why = 1, because(SaysHeaterHeating, top, set.HeaterStopC)
	case m.FloorWanted:
		level, why = 1, because(SaysHeaterFloor, top, set.HeaterFloorC)
	case inside:
		why = because(SaysHeaterWarm, top, set.HeaterStartC)
	case !c.wall.Trusted:
		why = because(SaysHeaterClock, top)
	}
	c.ballots[s.heater].cast(level, Comfort, why)
}
