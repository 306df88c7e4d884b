package site

import "sunstoker/physics"

// LoopFluid is the fluid in the system's loop.
func (s *System) LoopFluid() (physics.Fluid, error) {
	if !s.Glycol {
		return physics.Water(), nil
	}
	fraction, err := physics.MassFractionFromVolumePercent(s.AntifreezePercent)
	if err != nil {
		return physics.Fluid{}, err
	}
	return physics.PropyleneGlycol(fraction)
}

// LoopPressurePaAbs is the absolute pressure of the cold loop at the
// collector, in Pa, for a place at the altitude in m.
func (s *System) LoopPressurePaAbs(altitudeM float64) float64 {
	return s.LoopPressureBar*physics.PascalPerBar + physics.AirPressurePa(altitudeM)
}

// Curve gives the collector's efficiency curve. Heat capacity and
// incidence-angle coefficient are not part of a site file and stay 0.
func (c *Collector) Curve() physics.Collector {
	return physics.Collector{
		Eta0:    c.OpticalEfficiencyPercent / 100,
		A1WM2K:  c.LossWM2K,
		A2WM2K2: c.LossGrowthWM2K2,
		AreaM2:  c.AreaM2,
	}
}

// Plane gives where the collector looks to.
func (c *Collector) Plane() physics.Plane {
	return physics.Plane{TiltDeg: c.TiltDeg, AzimuthDeg: c.DirectionDeg}
}
