package twin

import (
	"sunstoker/sim/plant"
	"sunstoker/site"
)

// heat puts what a site file says of the backup heater into a plant.
func heat(p *plant.Config, h *site.Heater) {
	p.HeaterW, p.CutOutC = h.PowerW, h.CutOutC
	if h.PowerW > 0 {
		p.HeaterHeight = h.HeightPercent / 100
	}
	switch {
	case h.NoThermostat:
		p.ThermostatC = 0
	case h.ThermostatC > 0:
		p.ThermostatC = h.ThermostatC
	case p.CutOutC > 0:
		p.ThermostatC = min(heaterThermostatC, p.CutOutC-5)
	default:
		p.ThermostatC = heaterThermostatC
	}
}

// CoilAreaM2 is the coil of a site file that transfers so many W/K.
func CoilAreaM2(transferWK float64) float64 { return transferWK / coilUAPerM2 }

// fit puts what a site file says of the tank's measures and fittings into a
// plant.
func fit(p *plant.Config, f *site.TankFittings) {
	if f.HeightM > 0 {
		p.TankHeightM = f.HeightM
	}
	if f.CoilAreaM2 > 0 {
		p.CoilUAWK = coilUAPerM2 * f.CoilAreaM2
	}
	if f.CoilTopPercent > 0 {
		p.CoilBottom, p.CoilTop = f.CoilBottomPercent/100, f.CoilTopPercent/100
	}
	p.InletMixing = f.InletStirsPercent / 100
	p.TopProbeHeight, p.BottomProbeHeight = f.TopProbePercent/100, f.LowProbePercent/100
	if f.ReliefC > 0 {
		p.ReliefC = f.ReliefC
	}
	if f.NoReliefValve {
		p.ReliefC = 0
	}
}
