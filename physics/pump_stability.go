package physics

// LargestStableStopDifferenceK is the largest stop difference in K that does
// not make the pump hunt for a given start difference in K: A FR UL/(eps m cp)
// times the start difference. areaM2 is the collector's, the constants in the
// inlet form. minCapacityRateWK is the smaller capacity rate of the loop's
// exchanger in W/K (for a coil in the tank that of the loop), effectiveness
// its effectiveness above 0 and up to 1; for a loop without exchanger give
// effectiveness 1.
//
// Why: the pump starts when the still plate is the start difference above the
// tank. There the sun just covers the loss at that temperature, so with flow
// the useful heat is A FR UL times the start difference; if the rise that it
// makes in the flow is less than the stop difference the pump stops at once.
// Some hunting in the morning does little harm: the rule is a guide.
//
// Source: Duffie and Beckman, section 10.4, from memory, derivation checked.
func LargestStableStopDifferenceK(startDifferenceK, areaM2 float64, collector InletCollector, effectiveness, minCapacityRateWK float64) (float64, error) {
	err := firstError(
		checkPositive("start difference", startDifferenceK, "K"),
		checkPositive("collector area", areaM2, "m2"),
		checkPositive("collector loss constant FR UL", collector.FRULWM2K, "W/(m2 K)"),
		checkPositive("exchanger effectiveness", effectiveness, ""),
		checkRange("exchanger effectiveness", effectiveness, 0, 1, ""),
		checkPositive("smaller capacity rate", minCapacityRateWK, "W/K"),
	)
	if err != nil {
		return 0, err
	}
	return areaM2 * collector.FRULWM2K / (effectiveness * minCapacityRateWK) * startDifferenceK, nil
}
