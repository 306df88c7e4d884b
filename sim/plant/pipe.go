package plant

import (
	"math"

	"sunstoker/physics"
)

// pipe is a run of pipe with plug flow: what enters leaves in the same order,
// when as much as the pipe holds has followed. The content lies in parcels
// between its two ends; each loses heat exponentially to the surroundings.
//
// As all parcels lose heat to the same air by the same law, the loss is kept as
// one map for all, temperature = scale x + shift, so that a step costs the same
// however many parcels there are.
type pipe struct {
	capacityJK, uaWK, outdoorShare float64
	smallJK                        float64 // size of a parcel from which a new one is begun

	heatJ                 float64 // content above 0 degC
	scale, inverse, shift float64 // of the map; inverse is 1/scale
	first, count          uint    // parcels in use

	inC, outC     float64 // entering and leaving fluid of the last step with flow
	slope, offset float64 // of this step

	// What the cached figures below were worked out for.
	rateWK, stepS float64
	throughJK     float64 // capacity that passes in the step
	perThrough    float64 // 1/throughJK
	moved         float64 // content that leaves in it, J/K
	stays         float64 // share of a parcel's excess left at the step's end
	perStays      float64 // 1/stays
	passes        float64 // the same for fluid that runs right through

	// parcels is a ring, from the end where the fluid enters in forward flow.
	parcels [parcelRoom]parcel
}

// parcel is a piece of the content: its heat capacity and, by the pipe's map,
// its temperature.
type parcel struct{ jk, x float64 }

const (
	parcelRoom = 32 // a power of two, above smallestParcels with some to spare
	// smallestParcels is into how many parcels the content is cut at most. A
	// front is smeared over one of them.
	smallestParcels = 24
	// mapRefresh is when the map is applied and begun anew, before small scales
	// cost digits.
	mapRefresh = 0.01
	// leastStays keeps the map's inverse within bounds; what is left of so short
	// a pipe's excess is below any notice.
	leastStays = 1e-12
)

func newPipe(p Pipe, fluid physics.Fluid, startC float64) pipe {
	const at = 50 // degC, the middle of a working loop
	perLitre := fluid.DensityKgM3(at) / 1000 * fluid.SpecificHeatJKgK(at)
	capacityJK := p.VolumeL * perLitre
	n := pipe{
		capacityJK: capacityJK, uaWK: p.UAWK, outdoorShare: p.OutdoorShare, smallJK: capacityJK / smallestParcels,
		heatJ: capacityJK * startC, count: 1, scale: 1, inverse: 1, inC: startC, outC: startC,
	}
	n.parcels[0] = parcel{capacityJK, startC}
	return n
}

// meanC is the mean temperature of the content.
func (p *pipe) meanC() float64 {
	if p.capacityJK == 0 {
		return p.outC
	}
	return p.heatJ / p.capacityJK
}

func (p *pipe) aroundC(s *Surroundings) float64 {
	return s.RoomC + p.outdoorShare*(s.AirC-s.RoomC)
}

// rest is a step without flow; it returns the loss in J.
func (p *pipe) rest(s *Surroundings, stepS float64) float64 {
	if p.capacityJK == 0 {
		return 0
	}
	p.prepare(0, stepS)
	return p.cool(p.aroundC(s))
}

// prepare works out the step's factors anew if flow or step changed.
func (p *pipe) prepare(rateWK, stepS float64) {
	if p.rateWK != rateWK || p.stepS != stepS {
		p.workOut(rateWK, stepS)
	}
}

// workOut does prepare's work. A content that is renewed within the step is no
// older than its way through.
func (p *pipe) workOut(rateWK, stepS float64) {
	p.rateWK, p.stepS, p.throughJK = rateWK, stepS, rateWK*stepS
	p.passes, p.perThrough = 0, 0
	if rateWK > 0 {
		p.passes, p.perThrough = math.Exp(-p.uaWK/rateWK), 1/p.throughJK
	}
	p.moved = min(p.throughJK, p.capacityJK)
	p.stays = p.passes
	if p.throughJK <= p.capacityJK {
		p.stays = math.Exp(-p.uaWK * stepS / p.capacityJK)
	}
	p.stays = max(p.stays, leastStays)
	p.perStays = 1 / p.stays
}

// cool lets the content lose heat for a step and returns the loss in J.
func (p *pipe) cool(aroundC float64) float64 {
	lossJ := (p.heatJ - p.capacityJK*aroundC) * (1 - p.stays)
	p.heatJ -= lossJ
	p.scale *= p.stays
	p.inverse *= p.perStays
	p.shift = aroundC + p.stays*(p.shift-aroundC)
	if p.scale < mapRefresh {
		p.applyMap()
	}
	return lossJ
}

func (p *pipe) applyMap() {
	for i := range p.count {
		c := &p.parcels[(p.first+i)%parcelRoom]
		c.x = p.scale*c.x + p.shift
	}
	p.scale, p.inverse, p.shift = 1, 1, 0
}

// link takes what leaves in this step out of the pipe and sets slope and
// offset. The slope is zero while the pipe holds more than passes.
func (p *pipe) link(s *Surroundings, forward bool, rateWK, stepS float64) {
	p.prepare(rateWK, stepS)
	leftJ := p.takeOut(p.moved, forward)
	p.heatJ -= leftJ
	p.slope, p.offset = 0, leftJ*p.perThrough
	if through := p.throughJK - p.moved; through > 0 {
		share := through * p.perThrough
		p.slope = share * p.passes
		p.offset += share * (1 - p.passes) * p.aroundC(s)
	}
}

// settle lets the fluid in, after link, and returns the loss in J.
func (p *pipe) settle(s *Surroundings, forward bool, enteringC float64) (lossJ float64) {
	p.inC, p.outC = enteringC, p.slope*enteringC+p.offset
	aroundC := p.aroundC(s)
	lossJ = (p.throughJK - p.moved) * (1 - p.passes) * (enteringC - aroundC)
	if p.moved > 0 {
		p.heatJ += p.moved * enteringC
		p.putIn(p.moved, enteringC, forward)
		lossJ += p.cool(aroundC)
	}
	return lossJ
}

// takeOut removes a content of jk from the end the flow leaves by and returns
// its heat above 0 degC in J.
func (p *pipe) takeOut(jk float64, forward bool) (heatJ float64) {
	if jk >= p.capacityJK {
		p.first, p.count = 0, 0
		return p.heatJ
	}
	left, sum := jk, 0.0
	for left > 0 && p.count > 0 {
		i := p.first
		if forward {
			i = (p.first + p.count - 1) % parcelRoom
		}
		c := &p.parcels[i]
		if c.jk > left {
			c.jk -= left
			sum += left * c.x
			break
		}
		left -= c.jk
		sum += c.jk * c.x
		p.count--
		if !forward {
			p.first = (p.first + 1) % parcelRoom
		}
	}
	return p.scale*sum + jk*p.shift
}

// putIn adds a content of jk at the end the flow enters by: to the parcel that
// lies there if that is still small, else as a new one.
func (p *pipe) putIn(jk, tempC float64, forward bool) {
	if p.count == 0 {
		p.first, p.count, p.scale, p.inverse, p.shift = 0, 1, 1, 1, 0
		p.parcels[0] = parcel{jk, tempC}
		return
	}
	x := (tempC - p.shift) * p.inverse
	i := p.first
	if !forward {
		i = (p.first + p.count - 1) % parcelRoom
	}
	if c := &p.parcels[i]; c.jk < p.smallJK {
		c.x += (x - c.x) * jk / (c.jk + jk)
		c.jk += jk
		return
	}
	if forward {
		p.first = (p.first + parcelRoom - 1) % parcelRoom
		i = p.first
	} else {
		i = (p.first + p.count) % parcelRoom
	}
	p.count++
	p.parcels[i] = parcel{jk, x}
}
