package physics

import "math"

// ClearnessIndex is global light on the level by that outside the air, 0 to 1
// (clamped). The zenith is in degrees and no closer to the horizon than 86.3
// degrees in the quotient, which keeps it steady at sunrise. Light below zero counts
// as none; without light outside the air the index is zero.
//
// Source: Duffie and Beckman, eq. 2.9.3, by its definition; the bound near the
// horizon is that of the check values. Within it the index reads low.
func ClearnessIndex(globalHorizontalWM2, zenithDeg, extraterrestrialNormalWM2 float64) float64 {
	outside := extraterrestrialNormalWM2 * math.Max(cosDeg(zenithDeg), 0.065)
	if !(outside > 0) {
		return 0
	}
	return clamp(notNegative(globalHorizontalWM2)/outside, 0, 1)
}

// DiffuseShareErbs is the share of diffuse light in the global for a clearness
// index of 0 to 1 (clamped).
//
// Source: Erbs, Klein and Duffie (1982), Duffie and Beckman eq. 2.10.1, for
// hours. Single hours scatter by 0.1 to 0.2 about it.
func DiffuseShareErbs(clearnessIndex float64) float64 {
	k := clamp(clearnessIndex, 0, 1)
	switch {
	case k <= 0.22:
		return 1 - 0.09*k
	case k <= 0.80:
		return 0.9511 + k*(-0.1604+k*(4.388+k*(-16.638+k*12.336)))
	}
	return 0.165
}

// SplitGlobal divides global light on the level in W/m2 into beam and diffuse
// by Erbs. With the sun lower than 3 degrees above the horizon (or below it)
// all light counts as diffuse, because the quotient for the beam would run
// away; the beam never exceeds the irradiance outside the air. Light below zero
// counts as none. Source and error are those of DiffuseShareErbs.
func SplitGlobal(globalHorizontalWM2, zenithDeg, extraterrestrialNormalWM2 float64) Irradiance {
	global := notNegative(globalHorizontalWM2)
	light := Irradiance{GlobalHorizontalWM2: global, DiffuseHorizontalWM2: global}
	if !(zenithDeg <= 87) {
		return light
	}
	cosZenith := cosDeg(zenithDeg)
	share := DiffuseShareErbs(ClearnessIndex(global, zenithDeg, extraterrestrialNormalWM2))
	light.BeamNormalWM2 = math.Min(global*(1-share)/cosZenith, notNegative(extraterrestrialNormalWM2))
	light.DiffuseHorizontalWM2 = global - light.BeamNormalWM2*cosZenith
	return light
}
