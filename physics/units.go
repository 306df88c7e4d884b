package physics

import "math"

// ZeroCelsiusK is 0 degC on the kelvin scale (exact by definition).
const ZeroCelsiusK = 273.15

// GravityMS2 is the standard acceleration of free fall in m/s2 (exact by
// definition, CGPM 1901).
const GravityMS2 = 9.80665

// StandardPressurePa is one standard atmosphere in pascal absolute.
const StandardPressurePa = 101325

// PascalPerBar converts bar to pascal.
const PascalPerBar = 1e5

const (
	radPerDeg = math.Pi / 180
	degPerRad = 180 / math.Pi
)

func sinDeg(deg float64) float64 { return math.Sin(deg * radPerDeg) }
func cosDeg(deg float64) float64 { return math.Cos(deg * radPerDeg) }
func tanDeg(deg float64) float64 { return math.Tan(deg * radPerDeg) }

// acosDeg clamps rounding errors beyond +-1 before taking the arc cosine.
func acosDeg(x float64) float64 { return math.Acos(clamp(x, -1, 1)) * degPerRad }

// wrapDeg360 brings an angle into [0, 360).
func wrapDeg360(deg float64) float64 {
	wrapped := math.Mod(deg, 360)
	if wrapped < 0 {
		wrapped += 360
	}
	if wrapped >= 360 {
		return 0
	}
	return wrapped
}

// wrapDeg180 brings an angle into [-180, 180).
func wrapDeg180(deg float64) float64 { return wrapDeg360(deg+180) - 180 }
