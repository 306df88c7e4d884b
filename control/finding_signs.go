package control

import "time"

// tankAlarmK is how far above its limit a tank alarms: sun and heater are off
// there, so something heats that should not.
const tankAlarmK = 8

// frostPatience is how long circulation may take to warm a cold collector.
const frostPatience = 30 * time.Minute

// troubleAlarm is how full the account of a probe's bad readings must be to be
// worth a finding.
const troubleAlarm = 10 * time.Minute

// lookForFindings looks for the signs of every kind of finding.
func (c *Controller) lookForFindings(elapsed time.Duration, wall time.Time) {
	if c.st.House.LookFor += elapsed; c.st.House.LookFor >= slowPeriod {
		c.lookSlowly(wall)
	}
	if c.told || !c.clockSet || len(c.findings.live) > 0 {
		c.lookAtBoard(elapsed)
	}
	c.lookAtProbes(elapsed)
	if s := c.sign(FoundServicing, House, 0, c.st.Servicing, elapsed); s != nil {
		s.evidence = because(SawServicing, seconds(s.seen))
	}
	if s := c.sign(FoundObserving, House, 0, c.plan.ObserveOnly, elapsed); s != nil {
		s.evidence = because(SawObserving, seconds(s.seen))
	}
	for i := range c.systems {
		c.lookAtSystem(&c.systems[i], elapsed)
	}
	c.out.Findings = c.out.Findings[:0]
	if len(c.findings.live) > 0 {
		c.out.Findings = c.findings.list(c.out.Findings, &c.plan)
	}
}

// sign tells of a sign that is or is not seen; part is the place or actuator
// it is about, or 0. When it is seen, the caller fills in the evidence.
func (c *Controller) sign(kind FindingKind, system, part int, seen bool, elapsed time.Duration) *findingSlot {
	if !seen && len(c.findings.live) == 0 {
		return nil // the usual case, kept short enough to be put in line
	}
	return c.followSign(kind, system, part, seen, elapsed)
}

func (c *Controller) followSign(kind FindingKind, system, part int, seen bool, elapsed time.Duration) *findingSlot {
	return c.findings.sign(c.findings.index(&c.plan, kind, system, part), kind, seen, elapsed)
}

// raised tells whether a finding stands.
func (c *Controller) raised(kind FindingKind, system, part int) bool {
	return c.findings.slots[c.findings.index(&c.plan, kind, system, part)].raised
}

// lookAtProbes finds faults of probes. When every probe is silent, that is one
// finding about what they share, not one for each.
func (c *Controller) lookAtProbes(elapsed time.Duration) {
	if !c.uneasy && len(c.findings.live) == 0 {
		return // the usual case: nothing to see, nothing to clear
	}
	silent, shortest := 0, time.Duration(1<<62)
	for i := range c.st.Probes {
		if c.out.Readings[i].Quality == Missing {
			silent++
			shortest = min(shortest, c.st.Probes[i].Silent)
		}
	}
	all := silent > 1 && silent == len(c.st.Probes)
	if s := c.sign(FoundAllProbesSilent, House, 0, all, elapsed); s != nil {
		s.evidence = because(SawAllProbesMissing, float64(silent), seconds(shortest))
	}
	for i := range c.st.Probes {
		if c.out.Readings[i].OK() && c.st.Probes[i].Trouble < troubleAlarm && !c.probeAccused(i) {
			continue
		}
		c.lookAtProbe(i, all, elapsed)
	}
}

// probeAccused tells whether a finding about a probe stands or is under way.
func (c *Controller) probeAccused(i int) bool {
	if len(c.findings.live) == 0 {
		return false
	}
	pr := c.plan.Probes[i]
	for _, at := range c.findings.live {
		kind, system, part := c.findings.at(at, &c.plan)
		if findingTable[kind].about == AboutProbe && system == pr.System && part == int(pr.Place) {
			return true
		}
	}
	return false
}

// lookAtProbe finds what is wrong with one probe by why its reading is not good.
func (c *Controller) lookAtProbe(i int, allSilent bool, elapsed time.Duration) {
	j, m, pr := &c.out.Readings[i], &c.st.Probes[i], c.plan.Probes[i]
	why := j.Why.Words
	look := func(kind FindingKind, seen bool, says Words, values ...float64) {
		if s := c.sign(kind, pr.System, int(pr.Place), seen, elapsed); s != nil {
			s.evidence, s.detail = because(says, values...), j.Fault
		}
	}
	v := j.Why.Values
	look(FoundProbeSilent, j.Quality == Missing && !allSilent, SawProbeMissing, seconds(m.Silent))
	if why == SaysBeyondRange {
		look(FoundProbeOutOfRange, true, SawProbeBeyondRange, v[0], v[1], v[2])
	} else {
		look(FoundProbeOutOfRange, why == SaysOutOfRange, SawProbeOutOfRange, v[0], v[1], v[2])
	}
	if why == SaysSettling {
		look(FoundProbeJumps, true, SawProbeUnsettled, m.Doubt)
	} else {
		look(FoundProbeJumps, why == SaysJumped, SawProbeJump, v[0], v[1])
	}
	troubled := m.Trouble >= troubleAlarm || m.Trouble > troubleAlarm/2 && c.raised(FoundProbeTrouble, pr.System, int(pr.Place))
	look(FoundProbeTrouble, troubled && m.Silent < lastingSilence, SawProbeTrouble, seconds(m.Trouble))
	switch why {
	case SaysStillWhilePumped:
		look(FoundProbeFrozen, true, SawProbeStillWhilePumped, v[0], v[1], v[2])
	case SaysPowerUp:
		look(FoundProbeFrozen, true, SawProbePowerUp, v[0], v[1], v[2])
	default:
		look(FoundProbeFrozen, why == SaysFrozenReading, SawProbeFrozen, v[0], v[1], v[2])
	}
	look(FoundProbeColderThanSky, why == SaysColderThanSky, SawProbeColderThanSky, v[0], v[1])
}

// lookAtSystem finds what is wrong with one system's plant.
func (c *Controller) lookAtSystem(s *system, elapsed time.Duration) {
	// An alarm is cleared by a good reading that says otherwise, never by the
	// loss of the reading: then its sign is neither seen nor not seen.
	tooHot := s.hottestC > s.set.TankLimitC+tankAlarmK
	if tooHot || len(c.findings.live) > 0 && s.tankKnown && s.tankSeen() {
		if f := c.sign(FoundTankTooHot, s.index, 0, tooHot, elapsed); f != nil {
			f.evidence = because(SawTankAboveLimit, s.hottestC, s.set.TankLimitC)
		}
	}
	if s.collector.OK() || s.mem.StagnantFor == 0 {
		if f := c.sign(FoundStagnation, s.index, 0, s.mem.StagnantFor > 0, elapsed); f != nil {
			f.evidence = because(SawStagnation, s.collector.Value, seconds(s.mem.StagnantFor))
		}
	}
	if s.heater != none {
		// Its daily try proves nothing until the tank top shows it.
		if s.mem.HeaterLocked || s.mem.HeaterEffort == 0 {
			if f := c.sign(FoundHeaterFruitless, s.index, 0, s.mem.HeaterLocked, elapsed); f != nil {
				f.evidence = because(SawHeaterLocked, seconds(s.mem.HeaterEffort), s.tankTop.Value)
			}
		}
	}
	if s.dump != none {
		if f := c.sign(FoundHeatDumpFruitless, s.index, 0, s.mem.DumpLocked, elapsed); f != nil {
			f.evidence = because(SawDumpLocked, s.mem.DumpFromC, dumpRiseK, seconds(s.mem.DumpRest))
		}
	}
	since, interval := s.mem.HygieneSince, s.set.HygieneInterval
	overdue := interval > 0 &&
		since > interval+2*hygienePatience
	if f := c.sign(FoundHygieneOverdue, s.index, 0, overdue, elapsed); f != nil {
		f.evidence = because(SawHygieneOverdue, seconds(since), seconds(interval))
	}
	if s.circulation != none {
		if f := c.sign(FoundPipesOverdue, s.index, 0, s.lineOverdue(), elapsed); f != nil {
			f.evidence = because(SawPipesOverdue, seconds(s.mem.LineSince), seconds(interval))
		}
	}
	if !s.plan.WaterFilled || s.pump == none {
		if coldest, ok := s.coldest(); ok {
			near := coldest < s.plan.FreezingPointC+s.set.FreezeWarningMarginK
			if f := c.sign(FoundNearFreezing, s.index, 0, near, elapsed); f != nil {
				f.evidence = because(SawNearFreezing, coldest, s.plan.FreezingPointC)
			}
			c.lookAtLastResort(s, coldest, elapsed)
		}
		return
	}
	blind := c.blindToFrost(s) || s.mem.BelowSky && c.coldSeason
	if f := c.sign(FoundFrostBlind, s.index, 0, blind, elapsed); f != nil {
		f.evidence = because(SawFrostBlind)
	}
	helpless := s.frostRefused || s.mem.FrostRunFor > frostPatience && s.collector.OK() && s.collector.Value < s.set.FrostStartC
	if f := c.sign(FoundFrostNotHelped, s.index, 0, helpless, elapsed); f != nil {
		f.evidence = because(SawFrostNotHelped, s.collector.Value, seconds(s.mem.FrostRunFor))
	}
}

// coldest gives the colder of collector and outdoor air, whichever are good.
func (s *system) coldest() (tempC float64, ok bool) {
	switch {
	case s.collector.OK() && !(s.outdoor.OK() && s.outdoor.Value < s.collector.Value):
		return s.collector.Value, true
	case s.outdoor.OK():
		return s.outdoor.Value, true
	}
	return 0, false
}
