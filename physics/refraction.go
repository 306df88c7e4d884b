package physics

// RefractionDeg is by how many degrees the air lifts the sun above its true
// elevation. The pressure at the place is in pascal, the air in degC.
//
// Source: Saemundsson's formula as used by Reda and Andreas (2004), eq. 42.
// Below -0.83 degrees the sun is not seen and the result is zero. Air colder
// than -80 or warmer than 60 degC is clamped, and a pressure to 0..120000 Pa. Error about 0.002 degrees above
// 15 degrees, 0.01 degrees at 5 degrees and more near the horizon, where the
// real air varies.
func RefractionDeg(trueElevationDeg, pressurePa, airC float64) float64 {
	if !(trueElevationDeg >= -horizonDipDeg) {
		return 0
	}
	density := clamp(pressurePa, 0, 120e3) / 101000 * 283 / (ZeroCelsiusK + clamp(airC, -80, 60))
	return density * 1.02 / (60 * tanDeg(trueElevationDeg+10.3/(trueElevationDeg+5.11)))
}

// horizonDipDeg is refraction plus half the sun's disc at the horizon.
const horizonDipDeg = 0.2667 + 0.5667

// ApparentElevationDeg is the elevation in degrees with refraction.
func (s SunPosition) ApparentElevationDeg(pressurePa, airC float64) float64 {
	return s.ElevationDeg + RefractionDeg(s.ElevationDeg, pressurePa, airC)
}
