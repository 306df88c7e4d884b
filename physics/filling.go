package physics

import "math"

// FillPressureBar is the pressure in bar above the air to which a closed loop is
// filled cold, at a gauge the given height in m below the collectors' top: 1.3 bar
// and 0.1 bar for each metre, and in thin air or for a hot loop so much more that
// water at the top boils no sooner than at boilsC in degC.
//
// Source: the sum as read in a public manual; boiling by IAPWS-IF97 and the air by
// the standard atmosphere. Heights below zero count as zero; altitudes in m and
// boiling points are clamped as AirPressurePa and WaterSaturationPressurePa do.
func FillPressureBar(staticHeightM, altitudeM, boilsC float64) float64 {
	top := (WaterSaturationPressurePa(boilsC) - AirPressurePa(altitudeM)) / PascalPerBar
	return 0.1*notNegative(staticHeightM) + math.Max(fillAtTopBar, top)
}

const fillAtTopBar = 1.3

// PrechargeBelowFillBar is by how many bar the gas of an expansion vessel is set
// lower than the cold loop is filled, so that the vessel holds some fluid from the
// start (read in the same public manual as FillPressureBar).
const PrechargeBelowFillBar = 0.5

// FilledVesselLitre is the smallest vessel in litres that takes so much fluid in
// litres between the fill pressure and the highest one, all pressures in bar above
// the air: taken/((p0 + 1)/(pf + 1) - (p0 + 1)/(pe + 1)). VesselLitre reckons with a
// fixed reserve instead; take the larger of the two. An error unless precharge,
// fill and end follow each other.
//
// Source: Boyle's law.
func FilledVesselLitre(takenLitre, prechargeBar, fillBar, endBar float64) (float64, error) {
	err := firstError(
		checkNotNegative("fluid that the vessel takes", takenLitre, "litres"),
		checkRange("precharge of the vessel", prechargeBar, 0, 20, "bar"),
		checkRange("fill pressure of the loop", fillBar, prechargeBar, 25, "bar"),
		checkRange("end pressure of the loop", endBar, fillBar+0.1, 25, "bar"),
	)
	if err != nil {
		return 0, err
	}
	return takenLitre / ((prechargeBar+1)/(fillBar+1) - (prechargeBar+1)/(endBar+1)), nil
}

// PipeSpeedMS is the mean speed in m/s of a flow in litres per minute in a round
// pipe, inner diameter in m: flow over section. +Inf in a pipe without a bore.
func PipeSpeedMS(litrePerMinute, innerM float64) float64 {
	if !(innerM > 0) {
		return math.Inf(1)
	}
	return litrePerMinute / 60000 / (math.Pi / 4 * innerM * innerM)
}

// HeaterPowerW is the heat in W that brings litres of water from coldC to hotC in
// degC within so many seconds, by the balance of heat, with losses left out; zero
// when they are hot already, +Inf in no time. It is the inverse of SecondsToHeat
// without a loss.
func HeaterPowerW(litres, coldC, hotC, seconds float64) float64 {
	if !(hotC > coldC) {
		return 0
	}
	if !(seconds > 0) {
		return math.Inf(1)
	}
	water, middleC := Water(), (coldC+hotC)/2
	return notNegative(litres) / 1000 * water.DensityKgM3(middleC) * water.SpecificHeatJKgK(middleC) * (hotC - coldC) / seconds
}
