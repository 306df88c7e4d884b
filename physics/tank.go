package physics

import "math"

// The formulas of this file are for a tank of one temperature and are exact
// solutions of m cp dT/dt = heat - UA (T - Ta), Duffie and Beckman section 8.3.
// heatCapacityJK is mass times specific heat in J/K; conductanceWK is the loss
// UA in W/K.

// TimeConstantS is m cp/UA in seconds: the time in which the difference to the
// room falls to 37 %. +Inf without loss.
func TimeConstantS(heatCapacityJK, conductanceWK float64) float64 {
	if conductanceWK <= 0 {
		return math.Inf(1)
	}
	return heatCapacityJK / conductanceWK
}

// TankAfterC is the temperature in degC after seconds of a constant heat in W
// (negative for heat taken out) and the loss to a room at ambientC. Exact for
// every length of step. Seconds below zero count as zero; a heat capacity of
// zero or less is at its balance at once (with no loss either it stays).
func TankAfterC(startC, ambientC, heatCapacityJK, conductanceWK, heatW, seconds float64) float64 {
	if heatCapacityJK <= 0 {
		if conductanceWK <= 0 {
			return startC
		}
		return ambientC + heatW/conductanceWK
	}
	seconds = math.Max(seconds, 0)
	decay, netW := 0.0, heatW
	if conductanceWK > 0 {
		decay = seconds * conductanceWK / heatCapacityJK
		netW -= conductanceWK * (startC - ambientC)
	}
	return startC + netW*seconds/heatCapacityJK*shareOfStraightRise(decay)
}

// shareOfStraightRise is (1 - exp(-x))/x: what the loss leaves of a rise at
// the first moment's pace. In this form a loss of nearly nothing keeps its
// digits.
func shareOfStraightRise(x float64) float64 {
	if x == 0 {
		return 1
	}
	return -math.Expm1(-x) / x
}

// SecondsToHeat is the time in seconds a constant heat in W needs from startC
// to targetC against the loss; +Inf when the tank never gets there. Zero when
// it is already there.
func SecondsToHeat(startC, targetC, ambientC, heatCapacityJK, conductanceWK, heatW float64) float64 {
	if startC >= targetC {
		return 0
	}
	conductance := math.Max(conductanceWK, 0)
	netAtTargetW := heatW - conductance*(targetC-ambientC)
	if !(netAtTargetW > 0) {
		return math.Inf(1)
	}
	straight := heatCapacityJK * (targetC - startC) / netAtTargetW
	if bend := conductance * (targetC - startC) / netAtTargetW; bend > 0 {
		return straight * math.Log1p(bend) / bend
	}
	return straight
}

// TankAfterDrawC is the temperature in degC of a fully mixed tank after a draw
// that cold water replaces: Tc + (T0 - Tc) exp(-drawn/volume). Both volumes in
// the same unit; the drawn one below zero counts as zero, a tank of no volume is cold
// at once. Exact for a tank that is stirred throughout.
func TankAfterDrawC(startC, coldC, volume, drawn float64) float64 {
	if !(volume > 0) {
		return coldC
	}
	return coldC + (startC-coldC)*math.Exp(-math.Max(drawn, 0)/volume)
}

// MixedC is the temperature in degC of two bodies of water put together, by
// mass in any unit, by the balance of heat. A mass below zero counts as none; without any it is the first
// temperature. Exact for an even specific heat: water's differs by 1 % from 10 to 90
// degC.
func MixedC(massA, tempAC, massB, tempBC float64) float64 {
	a, b := notNegative(massA), notNegative(massB)
	if a+b == 0 {
		return tempAC
	}
	return (a*tempAC + b*tempBC) / (a + b)
}

// StandingLossLimitClassCW is the largest standing loss in W of a European
// class C tank of the given volume in litres, 16.66 + 8.33 V^0.4, tested at 65
// degC in a room of 20 degC.
//
// Source: EU regulation 812/2013, Annex II, from memory. Range 1 to 2000
// litres, an error outside.
func StandingLossLimitClassCW(volumeLitre float64) (float64, error) {
	if err := checkRange("tank volume", volumeLitre, 1, 2000, "litres"); err != nil {
		return 0, err
	}
	return 16.66 + 8.33*math.Pow(volumeLitre, 0.4), nil
}

// StandingLossTestDifferenceK is the difference of tank to room in the test
// behind the standing loss: 65 degC in 20 degC (EU 812/2013, from memory).
const StandingLossTestDifferenceK = 45

// LossConductanceWK is the UA in W/K that a standing loss in W stands for, at
// StandingLossTestDifferenceK; a loss below zero counts as none. A loss that grows
// faster than the difference, as by convection in unsealed pipes, is not seen.
func LossConductanceWK(standingLossW float64) float64 {
	return notNegative(standingLossW) / StandingLossTestDifferenceK
}
