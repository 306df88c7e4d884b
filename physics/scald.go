package physics

import "math"

// Highest temperatures in degC at outlets where people bathe. Local codes
// decide.
const (
	// TapLimitBathC, TapLimitShowerC and TapLimitBasinC are the settings of the
	// UK thermostatic mixing valve scheme (read second hand); never above 46, 43
	// and 43.
	TapLimitBathC   = 44
	TapLimitShowerC = 41
	TapLimitBasinC  = 41
	// TapLimitNorthAmericaC is the 120 degF of North American plumbing codes
	// (read second hand).
	TapLimitNorthAmericaC = 49
)

// scaldRow is a row of Moritz and Henriques (1947), Studies of thermal injury
// II, as tabulated on a public safety page (read second hand).
type scaldRow struct{ tempC, secondDegreeS, fullThicknessS float64 }

var scaldRows = [...]scaldRow{{45, 7200, 10800}, {49, 480, 600}, {55, 17, 30}, {60, 3, 5}}

// ScaldSeconds is the time in seconds in which water of a temperature in degC
// injures an adult's skin: first the burn that heals, then the one through the
// full thickness. The logarithm of the time runs straight between the rows of
// the table and on beyond 60 degC, where times are below the last row's and
// the figure is only a warning. Below 45 degC the row of 45 stands, which is
// shorter than the truth.
//
// Source: Moritz and Henriques (1947). Children, old people and thin skin are
// hurt sooner: 30 s at 54 degC for a child (public medical page, read) against
// 49 s here. Use it to warn, never to allow.
func ScaldSeconds(tempC float64) (secondDegree, fullThickness float64) {
	if !(tempC > scaldRows[0].tempC) {
		return scaldRows[0].secondDegreeS, scaldRows[0].fullThicknessS
	}
	i := 1
	for i < len(scaldRows)-1 && tempC > scaldRows[i].tempC {
		i++
	}
	low, high := scaldRows[i-1], scaldRows[i]
	share := (tempC - low.tempC) / (high.tempC - low.tempC)
	return low.secondDegreeS * math.Pow(high.secondDegreeS/low.secondDegreeS, share),
		low.fullThicknessS * math.Pow(high.fullThicknessS/low.fullThicknessS, share)
}

// ScaldSecondsChild is the time in seconds to a full-thickness burn for a
// child at 54 degC (summary of a paediatric study on a public medical page,
// read). It is one point, not a curve.
const (
	ScaldSecondsChild = 30
	ScaldChildC       = 54
)
