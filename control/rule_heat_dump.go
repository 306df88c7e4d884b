package control

import "time"

// Figures of the heat dump. Common practice, no source.
const (
	dumpBandK   = 15              // that the collector cools below heat_dump_start until it ends
	dumpLead    = 2 * time.Minute // that its valve takes to move
	dumpRiseK   = 2               // rise of the tank's hottest reading that shows that the valve does not lead past it
	dumpMarginK = 5               // above the tank limit, from where on nothing is tried any more
	dumpLock    = 24 * time.Hour  // that it is locked after that
	// dumpPause keeps its relay from chattering: run and rest alike.
	dumpPause = 30 * time.Second
)

// heatDumpRule leads the sun's heat past a full tank into the heat dump, where
// there is one, so that the loop need not steam: first its valve, then, once
// that has had time to move, the pump. The tank must be seen all the while. Should
// its hottest reading rise meanwhile, the valve is taken to be stuck, and all is
// locked for a day: a collector can stagnate, a tank must not boil.
//
// It says in s.dumps that the pump may run on a full tank.
func (c *Controller) heatDumpRule(s *system, elapsed time.Duration) {
	s.dumps = false
	m, set, valve := s.mem, s.set, &c.st.Outputs[s.dump]
	b := &c.ballots[s.dump]
	if m.DumpLocked {
		if m.DumpRest += elapsed; m.DumpRest >= dumpLock {
			m.DumpLocked, m.DumpRest = false, 0
		}
	}
	seen := s.tankKnown && s.tankSeen()
	moved := m.DumpWanted && valve.Level > 0 && valve.InState >= dumpLead
	switch {
	case m.DumpLocked: // what it rose from stays for the finding
	case moved && seen:
		m.DumpFromC = min(m.DumpFromC, s.hottestC)
		m.DumpLocked = s.hottestC >= m.DumpFromC+dumpRiseK
	default:
		m.DumpFromC = s.hottestC
	}
	hot := s.collector.OK() && latched(m.DumpWanted, s.collector.Value, set.HeatDumpStartC, dumpBandK)
	full := seen && s.full(m.TankFull) && s.hottestC < set.TankLimitC+dumpMarginK
	m.DumpWanted = hot && full && !m.DumpLocked
	if !m.DumpWanted {
		c.restDump(s, seen)
		return
	}
	b.cast(1, Comfort, because(SaysDump, s.collector.Value, s.hottestC))
	s.dumps = moved && b.winner().Level > 0
	if s.dumps {
		c.ballots[s.pump].cast(1, Comfort, because(SaysDumpPumps, s.collector.Value, s.hottestC))
	}
}

// restDump says why the heat dump is not wanted; a locked one is forbidden.
func (c *Controller) restDump(s *system, seen bool) {
	b := &c.ballots[s.dump]
	switch {
	case s.mem.DumpLocked:
		b.cast(0, Protect, because(SaysDumpLocked, seconds(dumpLock-s.mem.DumpRest)))
	case !seen || !s.collector.OK():
		b.rest(SaysDumpBlind, 0, 0, 0)
	case s.hottestC >= s.set.TankLimitC+dumpMarginK:
		b.rest(SaysDumpTooHot, s.hottestC, s.set.TankLimitC, 0)
	case s.full(s.mem.TankFull):
		b.rest(SaysDumpNotHot, s.collector.Value, s.set.HeatDumpStartC, 0)
	default:
		b.rest(SaysDumpNotFull, s.hottestC, s.set.TankLimitC, 0)
	}
}
