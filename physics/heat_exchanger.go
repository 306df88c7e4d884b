package physics

import "math"

// FlowArrangement says how the two streams of an exchanger run.
type FlowArrangement int

// The arrangements.
const (
	// CounterFlow runs the streams against each other: plate exchangers.
	CounterFlow FlowArrangement = iota
	// ParallelFlow runs them side by side in one direction.
	ParallelFlow
	// CrossFlowUnmixed crosses them, neither mixed: air coolers.
	CrossFlowUnmixed
	// OneSideConstant has one side of constant temperature: a coil in a tank.
	OneSideConstant
)

// String names the arrangement.
func (a FlowArrangement) String() string {
	switch a {
	case ParallelFlow:
		return "parallel flow"
	case CrossFlowUnmixed:
		return "cross flow"
	case OneSideConstant:
		return "one side constant"
	}
	return "counterflow"
}

// Effectiveness is the heat an exchanger passes by the most it could pass,
// 0 to 1. The number of transfer units is UA by the smaller capacity rate
// (zero or more, clamped), the ratio is the smaller by the larger capacity
// rate (clamped to 0..1; OneSideConstant ignores it).
//
// Source: Kays and London, as in Incropera, table 11.4. Exact, but for
// CrossFlowUnmixed, an approximation good to about 1 % (one digit of the
// charts).
func (a FlowArrangement) Effectiveness(transferUnits, capacityRatio float64) float64 {
	units, ratio := math.Max(transferUnits, 0), clamp(capacityRatio, 0, 1)
	if a == OneSideConstant || ratio == 0 || units == 0 {
		return -math.Expm1(-units)
	}
	switch a {
	case ParallelFlow:
		return -math.Expm1(-units*(1+ratio)) / (1 + ratio)
	case CrossFlowUnmixed:
		return -math.Expm1(math.Pow(units, 0.22) / ratio * math.Expm1(-ratio*math.Pow(units, 0.78)))
	}
	if 1-ratio < 1e-9 {
		return units / (1 + units)
	}
	left := math.Exp(-units * (1 - ratio))
	return (1 - left) / (1 - ratio*left)
}

// ExchangerHeatW is the heat in W that passes from the hot to the cold stream:
// effectiveness times the smaller capacity rate (W/K) times the difference of
// the inlets (K). It is negative when the "hot" inlet is the colder one.
// conductanceWK is UA in W/K. Without flow on either side, or with a value
// below zero or NaN, no heat passes.
//
// Source: Kays and London, as in Incropera, eq. 11.22 (number from memory); error
// that of Effectiveness.
func ExchangerHeatW(a FlowArrangement, conductanceWK, hotCapacityRateWK, coldCapacityRateWK, hotInC, coldInC float64) float64 {
	smaller := math.Min(hotCapacityRateWK, coldCapacityRateWK)
	larger := math.Max(hotCapacityRateWK, coldCapacityRateWK)
	if !(smaller > 0) || !(conductanceWK > 0) {
		return 0
	}
	return a.Effectiveness(conductanceWK/smaller, smaller/larger) * smaller * (hotInC - coldInC)
}

// CoilEffectiveness is the effectiveness of a coil in water of one
// temperature: 1 - exp(-UA/(m cp)), UA and the coil's capacity rate in W/K.
// Without flow the coil's content reaches the tank's temperature: 1. A
// conductance of zero or less gives 0.
//
// Source: Kays and London, OneSideConstant of Effectiveness; exact.
func CoilEffectiveness(conductanceWK, coilCapacityRateWK float64) float64 {
	if !(conductanceWK > 0) {
		return 0
	}
	if !(coilCapacityRateWK > 0) {
		return 1
	}
	return -math.Expm1(-conductanceWK / coilCapacityRateWK)
}
