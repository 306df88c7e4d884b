package plant

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestSpotLiesOnTheLine: the temperature at any height is the one on the line
// through the middles of the cells, searched from the bottom, and stays so as
// water is drawn.
func TestSpotLiesOnTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Typical()
		c.Layers = rapid.IntRange(1, 20).Draw(t, "layers")
		tk := newTank(c)
		for k := 1; k < len(tk.tempC); k++ {
			tk.tempC[k] = rapid.Float64Range(1, 99).Draw(t, "cell")
		}
		tk.tempC[0] = tk.tempC[1]
		s := spot{height: rapid.OneOf(rapid.Float64Range(0, 1), rapid.SampledFrom([]float64{0, 1})).Draw(t, "height")}
		for range 30 {
			if got, want := s.tempC(&tk), searchedC(&tk, s.height); math.Abs(got-want) > 1e-9 {
				t.Fatalf("%g degC at a height of %g, %g searched; cells %v, fill %g", got, s.height, want, tk.tempC, tk.fill)
			}
			tk.pull(rapid.Float64Range(0, 1-tk.fill).Draw(t, "drawn"), 5)
		}
	})
}

func searchedC(t *tank, height float64) float64 {
	x, lastMiddle, lastC := height*float64(t.layers), math.Inf(-1), 0.0
	for k, c := range t.tempC {
		if t.share(k) == 0 {
			continue
		}
		low, high := t.bounds(k)
		middle := (low + high) / 2
		switch {
		case x <= middle && math.IsInf(lastMiddle, -1):
			return c
		case x <= middle:
			return lastC + (x-lastMiddle)/(middle-lastMiddle)*(c-lastC)
		}
		lastMiddle, lastC = middle, c
	}
	return lastC
}
