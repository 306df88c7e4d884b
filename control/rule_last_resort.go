package control

import "time"

// The last resort of a loop with antifreeze: bursts that are long enough to bring
// a litre of the tank's warmth to any usual roof, and so seldom that they take a
// sixth of the time at most. Common practice, no source.
const (
	burstRun     = 3 * time.Minute
	burstPause   = 15 * time.Minute
	burstsInVain = 2 // in a row, after which no more are tried
	thickBandK   = 1 // above its freezing point, up to where fluid that was there counts as thick
)

// lastResort keeps a loop with antifreeze liquid for a while when it comes near
// its fluid's freezing point: the antifreeze was the protection, and is at its
// end. A collector that is read decides, else the outdoor air. Fluid that has
// begun to freeze is pumped by nobody, and bursts that are not seen to warm the
// collector are given up until it is warmer: something stands in the pump's way,
// or nobody can see that nothing does.
func (c *Controller) lastResort(s *system, elapsed time.Duration) {
	m, set, freezesC := s.mem, s.set, s.plan.FreezingPointC
	seen, says, thick := s.collector, SaysLastResort, SaysFluidThick
	if !seen.OK() {
		seen, says, thick = s.outdoor, SaysLastResortByAir, SaysFluidThickByAir
	}
	coil, standIn := s.coil()
	if coil.OK() && !standIn {
		m.coldTank(coil.Value-set.FrostTankFloorC, elapsed)
	}
	nearC := freezesC + set.FrostLastResortK
	if seen.OK() && seen.Value > nearC+set.FrostBandK {
		m.FrostVain = 0
	}
	m.FluidThick = seen.OK() && latched(m.FluidThick, -seen.Value, -freezesC, thickBandK)
	bursts := m.FrostWatching
	m.FrostWatching = false
	switch {
	case !seen.OK():
		return
	case m.FluidThick:
		c.ballots[s.pump].cast(0, Protect, because(thick, seen.Value, freezesC))
		return
	case set.FrostLastResortK == 0, !coil.OK(), standIn, coil.Value <= seen.Value,
		!s.rooflessHeat(), m.Signs.Loop.Pause > 0:
		return
	}
	near := seen.Value <= nearC
	if why, refused := s.lastResortRefused(coil, bursts && c.st.Outputs[s.pump].Level > 0); near && refused {
		s.frostRefused = true
		if !c.ballots[s.pump].byHand() {
			c.ballots[s.pump].cast(0, Protect, why)
		}
		return
	}
	m.FrostWatching = bursts
	s.frostCirculates = c.shortRun(s, near && !seen.HeldOver && !coil.HeldOver, burstRun, burstPause)
	if !s.frostCirculates {
		return
	}
	if !bursts {
		m.FrostVain++
	}
	c.ballots[s.pump].cast(1, Protect, because(says, seen.Value, freezesC))
}

// lastResortRefused tells whether a burst would do no good, and why: the tank is
// at its frost floor, or those before were in vain. One that runs is carried
// through.
func (s *system) lastResortRefused(coil *Judged, runs bool) (why Reason, refused bool) {
	freezesC := s.plan.FreezingPointC
	switch {
	case s.mem.FrostTankCold:
		return because(SaysLastResortTankCold, freezesC, coil.Value, s.set.FrostTankFloorC), true
	case s.mem.FrostVain >= burstsInVain && !runs:
		return because(SaysLastResortVain, freezesC, float64(s.mem.FrostVain)), true
	}
	return Reason{}, false
}
