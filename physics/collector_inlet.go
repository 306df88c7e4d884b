package physics

import "math"

// InletCollector holds the two constants of a collector in the inlet form of
// Hottel, Whillier and Bliss: Qu = A (FRTauAlpha G - FRULWM2K (Ti - Ta)).
type InletCollector struct {
	// FRTauAlpha is the removal factor times transmittance-absorptance, 0 to 1.
	FRTauAlpha float64
	// FRULWM2K is the removal factor times the loss coefficient in W/(m2 K).
	FRULWM2K float64
}

// OutputWM2 is the useful heat per m2 in W/m2 at the inlet temperature in
// degC; negative when the collector loses heat.
//
// Source: Hottel-Whillier-Bliss, Duffie and Beckman section 6.7. The loss is a
// straight line; away from the temperature it was taken at it is off by a2 of the
// test report times the difference.
func (c InletCollector) OutputWM2(irradianceWM2, inletC, ambientC float64) float64 {
	return c.FRTauAlpha*irradianceWM2 - c.FRULWM2K*(inletC-ambientC)
}

// CriticalIrradianceWM2 is the irradiance in W/m2 at which gain and loss are
// equal; below it a running pump would cool the tank. It is zero when the
// inlet is not warmer than the air, and +Inf when the collector absorbs
// nothing.
//
// Source: Duffie and Beckman, eq. 6.8.2 (read second hand).
func (c InletCollector) CriticalIrradianceWM2(inletC, ambientC float64) float64 {
	loss := c.FRULWM2K * (inletC - ambientC)
	if loss <= 0 {
		return 0
	}
	if c.FRTauAlpha <= 0 {
		return math.Inf(1)
	}
	return loss / c.FRTauAlpha
}

// InletForm turns the mean-fluid figures of a test report into the inlet form
// for a flow of capacityRateWK (mass flow times specific heat, in W/K, for the
// whole area). The loss is taken linear at the given difference of mean fluid
// to air in K: a1 + a2 dT; a difference below zero counts as zero.
//
// Source: Duffie and Beckman section 6.19. The ratio of the two forms is
// 1/(1 + A U/(2 m cp)).
func (c Collector) InletForm(capacityRateWK, differenceK float64) (InletCollector, error) {
	err := firstError(c.Validate(), checkPositive("capacity rate of the loop", capacityRateWK, "W/K"),
		checkFinite("difference of mean fluid to air", differenceK, "K"))
	if err != nil {
		return InletCollector{}, err
	}
	loss := c.A1WM2K + c.A2WM2K2*math.Max(differenceK, 0)
	ratio := 1 / (1 + c.AreaM2*loss/(2*capacityRateWK))
	return InletCollector{FRTauAlpha: c.Eta0 * ratio, FRULWM2K: loss * ratio}, nil
}

// LoopExchangerFactor is FR'/FR: by how much an exchanger between loop and
// tank lowers the collector's two constants. The area is in m2; capacity rates
// are in W/K: collectorCapacityRateWK that of the loop, minCapacityRateWK the
// smaller of loop and tank side (for a coil in the tank, the loop's).
// The effectiveness lies above 0 and up to 1.
//
// Source: de Winter's factor, Duffie and Beckman section 10.2, from memory.
func (c InletCollector) LoopExchangerFactor(areaM2, collectorCapacityRateWK, minCapacityRateWK, effectiveness float64) (float64, error) {
	err := firstError(
		checkPositive("collector area", areaM2, "m2"),
		checkPositive("capacity rate of the loop", collectorCapacityRateWK, "W/K"),
		checkPositive("smaller capacity rate", minCapacityRateWK, "W/K"),
		checkRange("smaller capacity rate", minCapacityRateWK, 0, collectorCapacityRateWK, "W/K"),
		checkPositive("exchanger effectiveness", effectiveness, ""),
		checkRange("exchanger effectiveness", effectiveness, 0, 1, ""),
	)
	if err != nil {
		return 0, err
	}
	penalty := areaM2 * c.FRULWM2K / collectorCapacityRateWK *
		(collectorCapacityRateWK/(effectiveness*minCapacityRateWK) - 1)
	return 1 / (1 + penalty), nil
}
