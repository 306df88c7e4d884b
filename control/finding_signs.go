package control

import "time"

// tankAlarmK is how far above its limit a tank alarms: sun and heater are off
// there, so something heats that should not.
const tankAlarmK = 8

// frostPatience is how long circulation may take to warm a cold collector.
const frostPatience = 30 * time.Minute

// lookForFindings looks for the signs of every kind of finding.
func (c *Controller) lookForFindings(elapsed time.Duration) {
	c.lookAtProbes(elapsed)
	c.lookAtBoard(elapsed)
	c.note(FoundClockUnset, House, 0, !c.wall.Trusted, because(SawClockUnset, c.st.Service.Seconds()), elapsed)
	for i := range c.systems {
		c.lookAtSystem(&c.systems[i], elapsed)
	}
	c.out.Findings = c.findings.list(c.out.Findings[:0], &c.plan)
}

// note tells of a sign that is or is not seen; part is the place or actuator
// it is about, or 0.
func (c *Controller) note(kind FindingKind, system, part int, seen bool, evidence Reason, elapsed time.Duration) {
	c.noteDetail(kind, system, part, seen, evidence, "", elapsed)
}

func (c *Controller) noteDetail(kind FindingKind, system, part int, seen bool, evidence Reason, detail string, elapsed time.Duration) {
	c.findings.note(c.findings.index(&c.plan, kind, system, part), kind, seen, evidence, detail, elapsed)
}

// lookAtProbes finds faults of probes. When every probe is silent, that is one
// finding about what they share, not one for each.
func (c *Controller) lookAtProbes(elapsed time.Duration) {
	silent, shortest := 0, time.Duration(1<<62)
	for i := range c.st.Probes {
		if c.out.Readings[i].Quality == Missing {
			silent++
			shortest = min(shortest, c.st.Probes[i].Silent)
		}
	}
	all := silent > 1 && silent == len(c.st.Probes)
	c.note(FoundAllProbesSilent, House, 0, all, because(SawAllProbesMissing, float64(silent), shortest.Seconds()), elapsed)
	for i := range c.st.Probes {
		j, m, pr := &c.out.Readings[i], &c.st.Probes[i], c.plan.Probes[i]
		v := j.Why.Values
		says := func(w Words) bool { return j.Why.Words == w }
		c.note(FoundProbeSilent, pr.System, int(pr.Place), j.Quality == Missing && !all, because(SawProbeMissing, m.Silent.Seconds()), elapsed)
		c.note(FoundProbeOutOfRange, pr.System, int(pr.Place), says(SaysOutOfRange), because(SawProbeOutOfRange, v[0], v[1], v[2]), elapsed)
		c.note(FoundProbeJumps, pr.System, int(pr.Place), says(SaysJumped), because(SawProbeJump, v[0], v[1]), elapsed)
		c.note(FoundProbeFrozen, pr.System, int(pr.Place), says(SaysFrozenReading), because(SawProbeFrozen, v[0], v[1], v[2]), elapsed)
		if pr.Place == Collector {
			c.note(FoundProbeColderThanSky, pr.System, int(pr.Place), says(SaysColderThanSky), because(SawProbeColderThanSky, v[0], v[1]), elapsed)
		}
	}
}

// lookAtSystem finds what is wrong with one system's plant.
func (c *Controller) lookAtSystem(s *system, elapsed time.Duration) {
	hottest, known := s.hottest()
	c.note(FoundTankTooHot, s.index, 0, known && hottest > s.set.TankLimitC+tankAlarmK,
		because(SawTankAboveLimit, hottest, s.set.TankLimitC), elapsed)
	c.note(FoundStagnation, s.index, 0, s.mem.StagnantFor > 0,
		because(SawStagnation, s.collector.Value, s.mem.StagnantFor.Seconds()), elapsed)
	if !s.plan.WaterFilled || s.pump == none {
		coldest, ok := s.coldest()
		c.note(FoundNearFreezing, s.index, 0, ok && coldest < s.plan.FreezingPointC+s.set.FreezeWarningMarginK,
			because(SawNearFreezing, coldest, s.plan.FreezingPointC), elapsed)
		return
	}
	c.note(FoundFrostBlind, s.index, 0, c.blindToFrost(s), because(SawFrostBlind), elapsed)
	c.note(FoundFrostNotHelped, s.index, 0,
		s.mem.FrostRunFor > frostPatience && s.collector.OK() && s.collector.Value < s.set.FrostStartC,
		because(SawFrostNotHelped, s.collector.Value, s.mem.FrostRunFor.Seconds()), elapsed)
}

// coldest gives the colder of collector and outdoor air, whichever are good.
func (s *system) coldest() (tempC float64, ok bool) {
	switch {
	case s.collector.OK() && s.outdoor.OK():
		return min(s.collector.Value, s.outdoor.Value), true
	case s.collector.OK():
		return s.collector.Value, true
	case s.outdoor.OK():
		return s.outdoor.Value, true
	}
	return 0, false
}
