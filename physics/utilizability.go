package physics

import "math"

// DailyUtilizability is the share of a month's light on a plane that lies
// above a critical level, 0 to 1: what a collector with a constant inlet
// temperature can use. clearness is the month's mean clearness index, 0.3 to
// 0.75; noonRatio is Rn/R, the tilt ratio at noon by that of the day, 0.5 to
// 2; criticalRatio is the critical irradiance by the noon irradiance of the
// mean day, zero or more. An error outside.
//
// Source: Klein (1978), Duffie and Beckman eq. 2.23.5; coefficients from
// memory, no printed worked answer at hand. Error about 0.02 of the light.
func DailyUtilizability(clearness, noonRatio, criticalRatio float64) (float64, error) {
	err := firstError(
		checkRange("monthly clearness index", clearness, 0.3, 0.75, ""),
		checkRange("ratio of tilt factors at noon and of the day", noonRatio, 0.5, 2, ""),
		checkNotNegative("critical ratio", criticalRatio, ""),
	)
	if err != nil {
		return 0, err
	}
	k := clearness
	a := 2.943 - 9.271*k + 4.031*k*k
	b := -4.345 + 8.853*k - 3.602*k*k
	c := -0.170 - 0.306*k + 2.936*k*k
	exponent := (a + b*noonRatio) * criticalRatio * (1 + c*criticalRatio)
	return math.Exp(math.Min(exponent, 0)), nil
}

// HourlyUtilizability is the same for one hour of the day over a month.
// criticalRatio is the critical irradiance by the mean of the hour, zero or
// more; hourRatio is Rh, the mean light of the hour on the plane by that on
// the level, 0.1 to 10; clearness is the mean clearness index of the hour, 0.2
// to 0.8; tilt 0 to 90 and declination -23.45 to 23.45 are in degrees. An
// error outside.
//
// Source: Clark, Klein and Beckman (1983), Duffie and Beckman section 2.22;
// coefficients read second hand. Error about 0.03.
func HourlyUtilizability(criticalRatio, hourRatio, clearness, tiltDeg, declinationDeg float64) (float64, error) {
	err := firstError(
		checkNotNegative("critical ratio", criticalRatio, ""),
		checkRange("ratio of light on the plane and on the level", hourRatio, 0.1, 10, ""),
		checkRange("hourly clearness index", clearness, 0.2, 0.8, ""),
		checkRange("tilt", tiltDeg, 0, 90, "degrees"),
		checkRange("declination", declinationDeg, -23.45, 23.45, "degrees"),
	)
	if err != nil {
		return 0, err
	}
	cosDeclination := cosDeg(declinationDeg)
	highest := 1.85 + 0.169*hourRatio/(clearness*clearness) - 0.0696*cosDeg(tiltDeg)/(clearness*clearness) -
		0.981*clearness/(cosDeclination*cosDeclination)
	return clarkUtilizability(criticalRatio, highest), nil
}

// clarkUtilizability has the highest ratio of the month as its only parameter.
// A highest ratio of 1 or less means hours all alike: a straight line.
func clarkUtilizability(criticalRatio, highest float64) float64 {
	if highest <= 1 {
		return math.Max(1-criticalRatio, 0)
	}
	if criticalRatio >= highest {
		return 0
	}
	left := 1 - criticalRatio/highest
	if math.Abs(highest-2) < 1e-6 {
		return left * left
	}
	g := (highest - 1) / (2 - highest)
	return clamp(math.Abs(math.Abs(g)-math.Sqrt(g*g+(1+2*g)*left*left)), 0, 1)
}
