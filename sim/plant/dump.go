package plant

import "math"

// dump is a radiator out of doors that a valve puts into the loop in the coil's
// place, for the heat that a full tank can't take. It is an exchanger whose other
// side has the temperature of the air: effectiveness 1 - exp(-UA/(m cp))
// (Incropera / Kays and London, one fluid of unlimited capacity); what it holds
// counts as part of the pipes.
type dump struct {
	uaWK float64 // 0: not fitted
	open bool    // the fluid passes it, and not the coil
}

// link gives slope and offset of the radiator.
func (d *dump) link(s *Surroundings, rateWK float64) (slope, offset float64) {
	slope = math.Exp(-d.uaWK / rateWK)
	return slope, (1 - slope) * s.AirC
}

// settle gives the fluid's end temperature in degC and the heat given to the air
// in J, negative when the air warms it.
func (d *dump) settle(s *Surroundings, inC, rateWK, stepS float64) (outC, toAirJ float64) {
	slope, offset := d.link(s, rateWK)
	outC = slope*inC + offset
	return outC, (inC - outC) * rateWK * stepS
}

// SetHeatDump asks for the valve that leads the loop through the heat dump. It
// does nothing on a plant without one.
func (p *Plant) SetHeatDump(on bool) {
	if !p.Damage.Outputs.Held {
		p.dumping = on
	}
}

// setDump moves the valve. Without power it leads through the coil.
func (p *Plant) setDump() {
	asked := p.dumping && !p.Damage.HeatDumpStuck && p.Powered()
	p.loop.dump.open = p.loop.dump.uaWK > 0 && (asked || p.Damage.HeatDumpOpen)
}
