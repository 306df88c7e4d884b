package plant

// loop is the circuit of heat carrier: collector, hot pipe, coil, cold pipe.
//
// Each link turns the temperature that enters it into the one that leaves: out
// = slope in + offset, from an implicit (backward Euler) balance of its own
// heat. The slopes and offsets of all links are put together around the
// circuit, which gives the one inlet temperature that closes it. So a step is
// stable at any length, and what one link gives the next one gets, to the last
// digit. A pipe that holds more than passes in the step has a slope of zero.
type loop struct {
	field     collector
	hot, cold pipe
	coil      coil
	flow      flow
	dump      dump

	// The tank along the coil, for the natural circulation.
	coilBottom, coilTop spot
	coilLegs            [coilLegs]spot // bottom first

	inletC   float64 // fluid that entered the collector last, in its flow direction
	coilInC  float64
	coilOutC float64
}

// loopHeat is what a step moved, in J.
type loopHeat struct{ sunJ, collectorLossJ, pipeLossJ, toTankJ, dumpJ float64 }

func newLoop(c Config) loop {
	l := loop{
		field:    newCollector(c),
		hot:      newPipe(c.HotPipe, c.Fluid, c.StartC),
		cold:     newPipe(c.ColdPipe, c.Fluid, c.StartC),
		coil:     newCoil(c),
		dump:     dump{uaWK: c.HeatDumpWK},
		inletC:   c.StartC,
		coilInC:  c.StartC,
		coilOutC: c.StartC,
	}
	l.coilBottom.height, l.coilTop.height = c.CoilBottom, c.CoilTop
	for j := range l.coilLegs {
		l.coilLegs[j].height = c.CoilBottom + (float64(j)+0.5)/coilLegs*(c.CoilTop-c.CoilBottom)
	}
	return l
}

// mayMove tells whether a step has, or has just had, any flow for setFlow.
func (l *loop) mayMove(level float64) bool {
	return level > 0 || l.flow.naturalKgS != 0 || l.flow.lastMoving
}

// setFlow brings the flow up to date with the pump's level.
func (l *loop) setFlow(c *Config, level float64) {
	meanC := (l.inletC + l.field.outletC()) / 2
	if l.flow.refresh(c, level, meanC) {
		l.field.setFlow(l.flow.rateWK)
	}
}

// leastRateWK is the flow below which the loop counts as still; it carries less
// heat than a step's rounding.
const leastRateWK = 1e-6

// step moves the loop's heat for a step.
func (l *loop) step(c *Config, t *tank, s *Surroundings, lightShare, stepS float64) (h loopHeat) {
	sunW := l.field.gainM2 * s.AbsorbableWM2 * lightShare
	aroundC := s.AirC - s.nightDropK(c.NightSkyDropShare)
	if l.flow.rateWK < leastRateWK {
		h.collectorLossJ = l.field.rest(sunW, aroundC, stepS)
		h.pipeLossJ = l.hot.rest(s, stepS) + l.cold.rest(s, stepS)
	} else {
		if l.coil.byLayers && l.flow.kgS > 0 {
			l.coil.seekLayer(t, l.coilInC)
		}
		l.coil.prepare(t, l.flow.rateWK, stepS)
		l.circulate(&h, t, s, sunW, aroundC, stepS)
	}
	h.sunJ = sunW * stepS * float64(len(l.field.cellC))
	return h
}

// circulate is a step with flow: link the elements, close the circuit, settle.
func (l *loop) circulate(h *loopHeat, t *tank, s *Surroundings, sunW, aroundC, stepS float64) {
	forward, rateWK := l.flow.kgS > 0, l.flow.rateWK
	first, second := &l.hot, &l.cold
	if !forward {
		first, second = second, first
	}
	slope, offset := l.field.link(forward, rateWK, sunW, aroundC, stepS)
	first.link(s, forward, rateWK, stepS)
	second.link(s, forward, rateWK, stepS)
	l.inletC = second.offset
	if second.slope != 0 {
		// More passes in the step than the pipe holds: the circuit closes where the
		// fluid comes back as it set out. The slope of the collector is below 1,
		// since Validate asks for a heat capacity.
		slope, offset = first.slope*slope, first.slope*offset+first.offset
		coilSlope, coilOffset := l.sinkLink(t, s, forward, rateWK)
		slope, offset = coilSlope*slope, coilSlope*offset+coilOffset
		slope, offset = second.slope*slope, second.slope*offset+second.offset
		l.inletC = offset / (1 - slope)
	}
	outC, collectorLossJ := l.field.settle(forward, l.inletC, aroundC, stepS)
	h.collectorLossJ = collectorLossJ
	h.pipeLossJ = first.settle(s, forward, outC)
	l.coilInC = first.outC
	if l.dump.open {
		l.coilOutC, h.dumpJ = l.dump.settle(s, l.coilInC, rateWK, stepS)
	} else {
		l.coilOutC, h.toTankJ = l.coil.settle(t, forward, l.coilInC, rateWK, stepS)
	}
	h.pipeLossJ += second.settle(s, forward, l.coilOutC)
}

// sinkLink is where the loop's heat goes: the coil, or the heat dump.
func (l *loop) sinkLink(t *tank, s *Surroundings, forward bool, rateWK float64) (slope, offset float64) {
	if l.dump.open {
		return l.dump.link(s, rateWK)
	}
	return l.coil.link(t, forward)
}

// storedJ is the heat of collector and pipes above 0 degC in J.
func (l *loop) storedJ() float64 {
	return l.field.storedJ() + l.hot.heatJ + l.cold.heatJ
}
