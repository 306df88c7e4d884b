package control

import "sunstoker/physics"

// storeCoilShare is what a coil of drinking water takes of the excess of a store of
// loop fluid over the cold inlet: of a usual one, 1500 W/K at 12 l/min, which is two
// taps at once or a bath's (common practice, no source). A slower draw gets more.
const storeCoilShare = 0.83

// HotLitres tells how many litres at the tap temperature the tank can still
// give, without more heat: its hot water thinned with cold. The tank's layers
// are taken from a straight line between its two probes, or from the one that
// there is, as if all the tank were so. ok is false without a good tank top
// reading or a known volume. What counts as usable is the same as in
// physics.HotLitres, of a store of loop fluid as in physics.HotLitresThroughCoil.
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
	coldC := min(s.coldWaterC(), s.set.TapC-1)
	if s.plan.LoopFluidStore {
		return physics.HotLitresThroughCoil(temps[:], volumes[:], s.set.TapC, coldC, storeCoilShare), true
	}
	return physics.HotLitres(temps[:], volumes[:], s.set.TapC, coldC), true
}
