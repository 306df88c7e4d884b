package plant

import (
	"math"

	"sunstoker/physics"
)

// Surroundings is what the outside does to a plant during one step.
type Surroundings struct {
	// AbsorbableWM2 is the irradiance on the collector plane after the
	// incidence-angle modifier in W/m2.
	AbsorbableWM2 float64
	AirC          float64 // outdoor air in degC
	// SkyDropK is how much colder than the air the sky is in K.
	SkyDropK float64
	RoomC    float64 // air around the tank in degC
	ColdC    float64 // water from the main in degC
}

// loop is the circuit of heat carrier: collector cells in forward flow
// direction, then the hot pipe, the coil and the cold pipe.
//
// Each element turns the temperature that enters it into the one that leaves:
// out = slope in + offset, from an implicit (backward Euler) balance of its own
// heat. The slopes and offsets of all elements are put together around the
// circuit, which gives the one inlet temperature that closes it. So a step is
// stable at any length, and what one element gives the next one gets, to the
// last digit.
type loop struct {
	nodeC                []float64 // collector cells, inlet side first
	nodeJK               float64   // heat capacity of a cell
	nodeA1WK, nodeA2WK2  float64   // loss of a cell
	nodeGainM2           float64   // eta0 times area of a cell
	nodeSlope, nodeShift []float64
	nodeLossWK           []float64 // in this step
	hot, cold            pipeNode
	coil                 coil

	flowKgS     float64 // signed: forward from collector outlet to coil top
	rateWK      float64 // flow times specific heat, without sign
	upstream    float64 // weight of the entering fluid in a cell's mean
	fluidAtC    float64 // temperature the fluid's properties were taken at
	level       float64 // pump level they were taken for
	specificJKg float64
	driftKgS    float64 // flow of natural circulation they were taken for
	naturalKgS  float64 // flow of natural circulation now
	inletC      float64 // fluid entering the collector (forward) in degC
	coilInC     float64
	coilOutC    float64
}

// pipeNode is one stirred run of pipe.
type pipeNode struct {
	tempC, capacityJK, uaWK, outdoorShare float64
	slope, offset                         float64
}

func newLoop(c Config) loop {
	n := c.CollectorNodes
	areaM2 := c.Collector.AreaM2 / float64(n)
	l := loop{
		nodeC:      make([]float64, n),
		nodeJK:     c.Collector.CapacityJM2K * areaM2,
		nodeA1WK:   c.Collector.A1WM2K * areaM2,
		nodeA2WK2:  c.Collector.A2WM2K2 * areaM2,
		nodeGainM2: c.Collector.Eta0 * areaM2,
		nodeSlope:  make([]float64, n),
		nodeShift:  make([]float64, n),
		nodeLossWK: make([]float64, n),
		hot:        newPipeNode(c.HotPipe, c.Fluid, c.StartC),
		cold:       newPipeNode(c.ColdPipe, c.Fluid, c.StartC),
		coil:       newCoil(c),
		fluidAtC:   math.Inf(-1),
		inletC:     c.StartC,
		coilInC:    c.StartC,
		coilOutC:   c.StartC,
	}
	for i := range l.nodeC {
		l.nodeC[i] = c.StartC
	}
	return l
}

func newPipeNode(p Pipe, fluid physics.Fluid, startC float64) pipeNode {
	const at = 50 // degC, the middle of a working loop
	perLitre := fluid.DensityKgM3(at) / 1000 * fluid.SpecificHeatJKgK(at)
	return pipeNode{tempC: startC, capacityJK: p.VolumeL * perLitre, uaWK: p.UAWK, outdoorShare: p.OutdoorShare}
}

// fluidStaleK is how far the loop's mean may move before the fluid's
// properties are taken anew; the specific heat changes by about 0.1 % in it.
const fluidStaleK = 2

// refresh sets flow and capacity rate for the pump's level, or for natural
// circulation while the pump rests on an open check valve.
func (l *loop) refresh(c *Config, level float64, open bool, coilMeanC, stepS float64) {
	drift := 0.0
	if level <= 0 && open {
		l.drift(c, coilMeanC, stepS)
		drift = l.naturalKgS
		if math.Abs(drift-l.driftKgS) < 0.01*math.Abs(l.driftKgS) {
			drift = l.driftKgS // too small a change to be worth new factors
		}
	} else {
		l.naturalKgS = 0
	}
	if level <= 0 && drift == 0 {
		l.flowKgS, l.rateWK, l.driftKgS = 0, 0, 0
		return
	}
	meanC := (l.inletC + l.outletC()) / 2
	moving := l.rateWK > 0 && level == l.level && drift == l.driftKgS
	if moving && math.Abs(meanC-l.fluidAtC) < fluidStaleK {
		return
	}
	l.level, l.fluidAtC, l.driftKgS = level, meanC, drift
	l.specificJKg = c.Fluid.SpecificHeatJKgK(meanC)
	l.flowKgS = drift
	if level > 0 {
		l.flowKgS = level * c.pumpFlowKgS(meanC)
	}
	l.rateWK = math.Abs(l.flowKgS) * l.specificJKg
	l.upstream = upstreamWeight(c, l.rateWK)
}

// upstreamWeight is the weight of the fluid that enters a collector cell in
// the cell's mean temperature, the rest being that of the fluid that leaves.
// For plug flow it is 1/x - 1/(exp x - 1) with x = UA/(m cp); 1/(2+x) is its
// close rational form: a half in strong flow, as the mean of inlet and outlet
// in ISO 9806 asks, and nothing in still fluid.
func upstreamWeight(c *Config, rateWK float64) float64 {
	const usualDifferenceK = 40
	lossWK := c.Collector.AreaM2 / float64(c.CollectorNodes) * (c.Collector.A1WM2K + usualDifferenceK*c.Collector.A2WM2K2)
	return rateWK / (2*rateWK + lossWK)
}

// naturalLagS is how slowly natural circulation follows its drive. Real loops
// are slower still to start; the lag keeps long steps from swinging (common
// practice, no source).
const naturalLagS = 60

// drift moves the flow of natural circulation towards the one that the weights
// of the columns drive, see naturalTarget.
func (l *loop) drift(c *Config, coilMeanC, stepS float64) {
	l.naturalKgS += (l.naturalTarget(c, coilMeanC) - l.naturalKgS) * stepS / (stepS + naturalLagS)
}

// naturalTarget is the steady flow in kg/s for the weights as they are now:
// minus the integral of rho g dz around the loop (package physics) against a
// resistance that grows with the flow (laminar), scaled from the loop's
// pressure drop at full pump level. Negative is reverse circulation.
func (l *loop) naturalTarget(c *Config, coilMeanC float64) float64 {
	collectorC := l.meanC()
	collectorM := c.CollectorHeightM
	coilM := (c.CoilTop - c.CoilBottom) * c.TankHeightM
	half := (collectorM - coilM) / 2
	drivePa := c.Fluid.DrivingPressurePa([]physics.LoopLeg{
		{RiseM: c.CollectorAboveTankM - half, MeanC: l.cold.tempC},
		{RiseM: collectorM, MeanC: collectorC},
		{RiseM: -c.CollectorAboveTankM - half, MeanC: l.hot.tempC},
		{RiseM: -coilM, MeanC: coilMeanC},
	})
	return drivePa / c.LoopHeadPa * c.pumpFlowKgS(collectorC)
}

func (l *loop) outletC() float64 { return l.nodeC[len(l.nodeC)-1] }

// extremesC are the coldest and the hottest cell of the collector.
func (l *loop) extremesC() (coldest, hottest float64) {
	coldest, hottest = l.nodeC[0], l.nodeC[0]
	for _, c := range l.nodeC[1:] {
		coldest, hottest = min(coldest, c), max(hottest, c)
	}
	return coldest, hottest
}

func (l *loop) meanC() float64 {
	sum := 0.0
	for _, c := range l.nodeC {
		sum += c
	}
	return sum / float64(len(l.nodeC))
}

// step moves the loop's heat for a step and returns what was absorbed, lost and
// given to the tank, in J.
func (l *loop) step(c *Config, t *tank, s *Surroundings, stepS float64) (sunJ, collectorLossJ, pipeLossJ, toTankJ float64) {
	sunW := l.nodeGainM2 * s.AbsorbableWM2
	aroundC := s.AirC - c.nightDropK(s)
	if l.rateWK == 0 {
		collectorLossJ = l.rest(sunW, aroundC, stepS)
		pipeLossJ = l.hot.rest(s, stepS) + l.cold.rest(s, stepS)
	} else {
		l.coil.prepare(t, l.rateWK, stepS)
		collectorLossJ, pipeLossJ, toTankJ = l.circulate(t, s, sunW, aroundC, stepS)
	}
	return sunW * stepS * float64(len(l.nodeC)), collectorLossJ, pipeLossJ, toTankJ
}

// nightDropK is how much colder than the air the collector's surroundings
// seem. It fades out with daylight, since the published coefficients already
// hold the loss to a day's sky.
func (c *Config) nightDropK(s *Surroundings) float64 {
	const daylightWM2 = 200
	if s.AbsorbableWM2 >= daylightWM2 {
		return 0
	}
	return c.NightSkyDropShare * s.SkyDropK * (1 - s.AbsorbableWM2/daylightWM2)
}

// rest is a step of the collector without flow.
func (l *loop) rest(sunW, aroundC, stepS float64) (lossJ float64) {
	inertiaWK := l.nodeJK / stepS
	for i, oldC := range l.nodeC {
		lossWK := l.nodeA1WK + l.nodeA2WK2*max(oldC-aroundC, 0)
		newC := (inertiaWK*oldC + sunW + lossWK*aroundC) / (inertiaWK + lossWK)
		l.nodeC[i] = newC
		lossJ += lossWK * (newC - aroundC)
	}
	return lossJ * stepS
}

func (p *pipeNode) aroundC(s *Surroundings) float64 {
	return s.RoomC + p.outdoorShare*(s.AirC-s.RoomC)
}

// rest is a step of the pipe without flow; it returns the loss in J.
func (p *pipeNode) rest(s *Surroundings, stepS float64) float64 {
	if p.capacityJK == 0 {
		return 0
	}
	aroundC, lossJK := p.aroundC(s), p.uaWK*stepS
	p.tempC = (p.capacityJK*p.tempC + lossJK*aroundC) / (p.capacityJK + lossJK)
	return lossJK * (p.tempC - aroundC)
}

// link sets slope and offset of the pipe for a step with flow.
func (p *pipeNode) link(s *Surroundings, rateWK, stepS float64) {
	inertiaWK := p.capacityJK / stepS
	scale := 1 / (inertiaWK + rateWK + p.uaWK)
	p.slope = rateWK * scale
	p.offset = (inertiaWK*p.tempC + p.uaWK*p.aroundC(s)) * scale
}

// settle takes the entering fluid, sets the pipe's new temperature, which is
// also that of the leaving fluid, and returns the loss in J.
func (p *pipeNode) settle(s *Surroundings, enteringC, stepS float64) float64 {
	p.tempC = p.slope*enteringC + p.offset
	return p.uaWK * (p.tempC - p.aroundC(s)) * stepS
}

// circulate is a step with flow: link the elements, close the circuit, settle.
func (l *loop) circulate(t *tank, s *Surroundings, sunW, aroundC, stepS float64) (collectorLossJ, pipeLossJ, toTankJ float64) {
	forward := l.flowKgS > 0
	l.hot.link(s, l.rateWK, stepS)
	l.cold.link(s, l.rateWK, stepS)
	slope, offset := l.linkCollector(forward, sunW, aroundC, stepS)
	coilSlope, coilOffset := l.coil.link(t, forward)
	first, second := &l.hot, &l.cold
	if !forward {
		first, second = second, first
	}
	slope, offset = first.slope*slope, first.slope*offset+first.offset
	slope, offset = coilSlope*slope, coilSlope*offset+coilOffset
	slope, offset = second.slope*slope, second.slope*offset+second.offset

	// The circuit closes where the fluid comes back as it set out. Slopes are
	// below 1 wherever anything takes heat up; a loop without capacity, loss
	// and coil does not exist (Validate asks for a collector capacity).
	l.inletC = offset / (1 - slope)
	outC, collectorLossJ := l.settleCollector(forward, aroundC, stepS)
	pipeLossJ = first.settle(s, outC, stepS)
	l.coilInC = first.tempC
	l.coilOutC, toTankJ = l.coil.settle(t, forward, l.coilInC, l.rateWK, stepS)
	pipeLossJ += second.settle(s, l.coilOutC, stepS)
	return collectorLossJ, pipeLossJ, toTankJ
}

// linkCollector works out each cell's slope and offset and returns those of
// the whole field.
func (l *loop) linkCollector(forward bool, sunW, aroundC, stepS float64) (slope, offset float64) {
	inertiaWK := l.nodeJK / stepS
	slope = 1
	n := len(l.nodeC)
	slopes, shifts := l.nodeSlope[:n], l.nodeShift[:n]
	for j := range n {
		i := j
		if !forward {
			i = n - 1 - j
		}
		oldC := l.nodeC[i]
		lossWK := l.nodeA1WK + l.nodeA2WK2*max(oldC-aroundC, 0)
		scale := 1 / (inertiaWK + l.rateWK + lossWK*(1-l.upstream))
		a := (l.rateWK - lossWK*l.upstream) * scale
		b := (inertiaWK*oldC + sunW + lossWK*aroundC) * scale
		slopes[i], shifts[i], l.nodeLossWK[i] = a, b, lossWK
		slope, offset = slope*a, offset*a+b
	}
	return slope, offset
}

// settleCollector sets the cells' new temperatures, from the inlet on, and
// returns that of the leaving fluid and the loss in J.
func (l *loop) settleCollector(forward bool, aroundC, stepS float64) (outC, lossJ float64) {
	inC := l.inletC
	n := len(l.nodeC)
	for j := range n {
		i := j
		if !forward {
			i = n - 1 - j
		}
		lossWK := l.nodeLossWK[i]
		newC := l.nodeSlope[i]*inC + l.nodeShift[i]
		lossJ += lossWK * (inC + (1-l.upstream)*(newC-inC) - aroundC)
		l.nodeC[i] = newC
		inC = newC
	}
	return inC, lossJ * stepS
}

// storedJ is the heat of collector and pipes above 0 degC in J.
func (l *loop) storedJ() float64 {
	sum := l.hot.capacityJK*l.hot.tempC + l.cold.capacityJK*l.cold.tempC
	for _, c := range l.nodeC {
		sum += l.nodeJK * c
	}
	return sum
}
