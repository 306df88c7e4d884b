package control

import "sunstoker/physics"

// HotLitres tells how many litres at the tap temperature the tank can still
// give, without more heat: its hot water thinned with cold. The tank's layers
// are taken from a straight line between its two probes, or from the one that
// there is, as if all the tank were so. ok is false without a good tank top
// reading or a known volume. What counts as usable is the same as in
// physics.HotLitres.
func (c *Controller) HotLitres(system int) (litres float64, ok bool) {
	s := &c.systems[system]
	if !s.tankTop.OK() || s.plan.TankL <= 0 {
		return 0, false
	}
	topC, bottomC := s.tankTop.Value, s.tankTop.Value
	if s.tankBottom.OK() {
		bottomC = s.tankBottom.Value
	}
	const layers = 10
	var temps, volumes [layers]float64
	for i := range temps {
		temps[i] = bottomC + (topC-bottomC)*(float64(i)+0.5)/layers
		volumes[i] = s.plan.TankL / layers
	}
	return physics.HotLitres(temps[:], volumes[:], s.set.TapC, min(s.coldWaterC(), s.set.TapC-1)), true
}
