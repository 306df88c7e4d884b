package plant

import "sunstoker/physics"

// pipeNode is one stirred run of pipe.
type pipeNode struct {
	tempC, capacityJK, uaWK, outdoorShare float64
	slope, offset                         float64
}

func newPipeNode(p Pipe, fluid physics.Fluid, startC float64) pipeNode {
	const at = 50 // degC, the middle of a working loop
	perLitre := fluid.DensityKgM3(at) / 1000 * fluid.SpecificHeatJKgK(at)
	return pipeNode{tempC: startC, capacityJK: p.VolumeL * perLitre, uaWK: p.UAWK, outdoorShare: p.OutdoorShare}
}

func (p *pipeNode) aroundC(s *Surroundings) float64 {
	return s.RoomC + p.outdoorShare*(s.AirC-s.RoomC)
}

// rest is a step without flow; it returns the loss in J.
func (p *pipeNode) rest(s *Surroundings, stepS float64) float64 {
	if p.capacityJK == 0 {
		return 0
	}
	aroundC, lossJK := p.aroundC(s), p.uaWK*stepS
	p.tempC = (p.capacityJK*p.tempC + lossJK*aroundC) / (p.capacityJK + lossJK)
	return lossJK * (p.tempC - aroundC)
}

// link sets slope and offset for a step with flow.
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
