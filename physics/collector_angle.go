package physics

import "math"

// BeamModifier is the incidence-angle modifier of the beam by the collector's
// B0: 1 - b0 (1/cos(angle) - 1). The angle is in degrees; the result is
// clamped to zero at grazing light and behind the plane, and never exceeds 1.
//
// Source: ASHRAE 93 / Duffie and Beckman eq. 6.17.10. The straight form is
// good up to 60 degrees and only a rough guide beyond.
func (c Collector) BeamModifier(incidenceDeg float64) float64 {
	return AngleModifierB0(c.B0, incidenceDeg)
}

// AngleModifierB0 is BeamModifier for a b0 of its own.
func AngleModifierB0(b0, incidenceDeg float64) float64 {
	cosine := cosDeg(incidenceDeg)
	if cosine <= 0 {
		return 0
	}
	return clamp(1-b0*(1/cosine-1), 0, 1)
}

// B0FromK50 is the b0 of AngleModifierB0 that gives the modifier k50 printed
// in a test report for 50 degrees. Range of k50: 0.5 to 1, an error outside.
//
// Source: AngleModifierB0 solved for b0.
func B0FromK50(k50 float64) (float64, error) {
	if err := checkRange("incidence-angle modifier at 50 degrees", k50, 0.5, 1, ""); err != nil {
		return 0, err
	}
	return (1 - k50) / (1/cosDeg(50) - 1), nil
}

// Glass is a single flat cover.
type Glass struct {
	RefractiveIndex float64 // above 1
	ExtinctionPerM  float64 // absorption in 1/m, zero or more
	ThicknessM      float64 // in m, zero or more
}

// SolarGlass is ordinary solar glass, index 1.526, extinction 4 per m, 2 mm,
// the figures of De Soto, Klein and Beckman (2006).
var SolarGlass = Glass{RefractiveIndex: 1.526, ExtinctionPerM: 4, ThicknessM: 0.002}

// AngleModifier is the transmittance at the incidence angle in degrees by that
// at normal incidence, one surface reflection and one absorbing passage:
// exp(-K L / cos r) (1 - (sin2(r-i)/sin2(r+i) + tan2(r-i)/tan2(r+i))/2).
// Zero at 90 degrees and behind the plane. An index of 1 or below counts as
// no reflection, an extinction or thickness below zero as no absorption.
//
// Source: De Soto, Klein and Beckman, Solar Energy 80 (2006), eq. 9, by
// Fresnel, Snell and Bouguer; light that is reflected more than once inside is left
// out.
func (g Glass) AngleModifier(incidenceDeg float64) float64 {
	incidenceDeg = math.Abs(incidenceDeg)
	if incidenceDeg >= 90 || math.IsNaN(incidenceDeg) {
		return 0
	}
	return g.transmittance(incidenceDeg) / g.transmittance(0)
}

func (g Glass) transmittance(incidenceDeg float64) float64 {
	index := math.Max(g.RefractiveIndex, 1)
	sinInside := sinDeg(incidenceDeg) / index
	cosInside := math.Sqrt(1 - sinInside*sinInside)
	cosOutside := cosDeg(incidenceDeg)
	across := (cosOutside - index*cosInside) / (cosOutside + index*cosInside)
	along := (index*cosOutside - cosInside) / (index*cosOutside + cosInside)
	passed := 1 - (across*across+along*along)/2
	return passed * math.Exp(-notNegative(g.ExtinctionPerM)*notNegative(g.ThicknessM)/cosInside)
}

// DiffuseSkyAngleDeg is the incidence angle in degrees at which beam light
// passes the cover as the light of the whole sky does, for a plane tilted by 0
// to 90 degrees (clamped).
//
// Source: Brandemuehl and Beckman (1980), Duffie and Beckman eq. 5.4.2 (read
// second hand; one copy prints 59.68 for 59.7). A fit of its authors to flat covers,
// within about a degree (from memory).
func DiffuseSkyAngleDeg(tiltDeg float64) float64 {
	tilt := clamp(tiltDeg, 0, 90)
	return 59.7 - 0.1388*tilt + 0.001497*tilt*tilt
}

// DiffuseGroundAngleDeg is the same for light reflected by the ground, eq.
// 5.4.1.
func DiffuseGroundAngleDeg(tiltDeg float64) float64 {
	tilt := clamp(tiltDeg, 0, 90)
	return 90 - 0.5788*tilt + 0.002693*tilt*tilt
}
