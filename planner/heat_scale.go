package planner

import (
	"image/color"
	"math"
)

// The heat scale runs from pale cold water to dark red hot water: hotter is
// always darker, so it can be read without seeing colour and on grey print.
// Equal steps of temperature are equal steps to the eye, by distance in the
// Oklab colour space.
//
// Source of the colour space: B. Ottosson, A perceptual color space for image
// processing (2020); the matrices from memory, checked by white and by grey in
// the tests. The colours are our own.
const (
	scaleLowC  = 5.0
	scaleHighC = 85.0
)

type oklab struct{ l, a, b float64 }

// scaleStops are the bends of the scale's path, cold first.
var scaleStops = []oklab{
	{0.955, -0.020, -0.020},
	{0.865, -0.045, 0.020},
	{0.775, -0.005, 0.110},
	{0.630, 0.095, 0.095},
	{0.470, 0.140, 0.050},
	{0.300, 0.085, -0.005},
}

// heatColour is the colour of a temperature; outside the scale it is clamped.
func heatColour(tempC float64) color.RGBA {
	share := math.Min(1, math.Max(0, (tempC-scaleLowC)/(scaleHighC-scaleLowC)))
	return alongScale(share).rgb()
}

// alongScale is the colour at a share of the path's length.
func alongScale(share float64) oklab {
	whole := 0.0
	for i := range scaleStops[1:] {
		whole += scaleStops[i].distance(scaleStops[i+1])
	}
	left := share * whole
	for i := range scaleStops[1:] {
		from, to := scaleStops[i], scaleStops[i+1]
		length := from.distance(to)
		if left <= length || i == len(scaleStops)-2 {
			t := math.Min(1, left/length)
			return oklab{from.l + t*(to.l-from.l), from.a + t*(to.a-from.a), from.b + t*(to.b-from.b)}
		}
		left -= length
	}
	return scaleStops[0]
}

func (c oklab) distance(d oklab) float64 {
	return math.Hypot(c.l-d.l, math.Hypot(c.a-d.a, c.b-d.b))
}

func (c oklab) rgb() color.RGBA {
	cube := func(x float64) float64 { return x * x * x }
	l := cube(c.l + 0.3963377774*c.a + 0.2158037573*c.b)
	m := cube(c.l - 0.1055613458*c.a - 0.0638541728*c.b)
	s := cube(c.l - 0.0894841775*c.a - 1.2914855480*c.b)
	return color.RGBA{
		R: screen(4.0767416621*l - 3.3077115913*m + 0.2309699292*s),
		G: screen(-1.2684380046*l + 2.6097574011*m - 0.3413193965*s),
		B: screen(-0.0041960863*l - 0.7034186147*m + 1.7076147010*s),
		A: 255,
	}
}

// screen is the byte of a linear light, by the sRGB curve (IEC 61966-2-1).
func screen(linear float64) uint8 {
	linear = math.Min(1, math.Max(0, linear))
	if linear <= 0.0031308 {
		linear *= 12.92
	} else {
		linear = 1.055*math.Pow(linear, 1/2.4) - 0.055
	}
	return uint8(math.Round(255 * linear))
}
