package control

import "time"

// Of a heat-up where the sun is waited for: how long before it is due it may begin, and
// what time is spared for draws meanwhile, as a part of the heating and more.
const (
	hygieneEarly     = 48 * time.Hour
	hygieneSparePart = 1.25
	hygieneSpare     = 15 * time.Minute
)

// hygieneAhead tells, where the rule that waits for the sun leads, whether a heat-up that
// will be due in a while is done now: in the last window that can do it in time, and
// so late in it that the hold ends about as the window does, or as the heat-up is due. Until
// then the sun may do it, and what was heated serves the evening; with the hold inside the
// window a bath of that evening does not break it off. A hold that is under way, whoever has
// brought the heat, is carried through, in the window and for its length after it.
func (c *Controller) hygieneAhead(s *system, left time.Duration) bool {
	m, windows := s.mem, s.set.HygieneWindows
	if !c.clockSet || left > s.heatUpEarly() || c.onHoliday() {
		return false
	}
	shutFor := windows.since(true, c.minute)
	if m.HygieneHold > 0 && wholeMinutes(shutFor) <= s.set.HygieneHold+hygieneSpare {
		return true
	}
	if shutFor > 0 {
		return false
	}
	late := min(wholeMinutes(windows.until(false, c.minute)), left) <= c.heatUpTakes(s)
	return (late || m.HygieneHeating) && !c.heatUpCanWait(s, left) // once begun it takes less and less time
}

// heatUpEarly is how long before it is due a heat-up may be under way; 0 where the
// windows lead.
func (s *system) heatUpEarly() time.Duration {
	if !s.sunLeads() {
		return 0
	}
	return min(hygieneEarly, s.set.HygieneInterval/2)
}

// heatUpCanWait tells whether a window after that of now, or after the next one where none is
// open, gives a tank that is cold by then as much time before its heat-up is due as that
// needs, or as the window of now does where that is less.
func (c *Controller) heatUpCanWait(s *system, left time.Duration) bool {
	windows, f := s.set.HygieneWindows, &s.figures
	coldJ := float64(pictureLayers-f.heaterAt) * f.layerJK * (s.set.HygieneC - s.coldWaterC())
	needs := time.Duration(coldJ/f.heaterW*float64(time.Second)) + s.set.HygieneHold
	opens := windows.until(true, c.minute)
	shuts := opens + windows.until(false, c.minute+opens)
	needs = min(needs, wholeMinutes(max(0, windows.since(false, c.minute)-1)+shuts-opens))
	for wholeMinutes(shuts) < left {
		opens = shuts + windows.until(true, c.minute+shuts)
		shuts = opens + windows.until(false, c.minute+opens)
		if wholeMinutes(opens)+needs <= min(wholeMinutes(shuts), left) {
			return true
		}
	}
	return false
}

// heatUpTakes is how long a heat-up needs from now to the end of its hold, with time to
// spare, and after those of other tanks where the supply is not enough for all at once.
func (c *Controller) heatUpTakes(s *system) time.Duration {
	watts, othersS := s.plan.HeaterW, 0.0
	for i := range c.claims {
		if other := c.claims[i].system; other != s && c.heatsUpWith(other, s) {
			watts, othersS = watts+other.plan.HeaterW, othersS+max(0, other.effortS(Hygiene, false))
		}
	}
	heatingS := s.mem.SunFirst.Tank.Layers.lacksJ(&s.figures, s.set.HygieneC+hygieneBandK) / s.figures.heaterW
	if c.plan.SupplyW != 0 && watts > c.plan.SupplyW {
		heatingS += othersS
	}
	return time.Duration(hygieneSparePart*heatingS*float64(time.Second)) + hygieneSpare + s.set.HygieneHold - s.mem.HygieneHold
}

// heatsUpWith tells whether another tank's heat-up is to be done before the window of this
// one shuts.
func (c *Controller) heatsUpWith(other, s *system) bool {
	set, left := other.set, other.set.HygieneInterval-other.mem.HygieneSince
	shuts := wholeMinutes(s.set.HygieneWindows.until(false, c.minute))
	if set.HygieneInterval == 0 || !other.plan.Tempered || !other.tankTop.OK() || other.mem.Signs.Pocket.TopStuck {
		return false
	}
	if wholeMinutes(set.HygieneWindows.until(true, c.minute)) >= shuts {
		return false
	}
	if other.sunLeads() {
		return left <= other.heatUpEarly() && !c.heatUpCanWait(other, left)
	}
	return left < shuts
}

func wholeMinutes(n int) time.Duration { return time.Duration(n) * time.Minute }
