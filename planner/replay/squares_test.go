package replay

import (
	"math"
	"testing"
)

// TestLeastSquares finds the least of a known function: a decay of two figures.
func TestLeastSquares(t *testing.T) {
	x := []float64{0, 0}
	leastSquares(x, 20, 30, func(x, into []float64) {
		for i := range into {
			at := float64(i) / 10
			into[i] = math.Exp(x[0]-at*math.Exp(x[1])) - 1.5*math.Exp(-0.7*at)
		}
	})
	if a, b := math.Exp(x[0]), math.Exp(x[1]); math.Abs(a-1.5) > 1e-3 || math.Abs(b-0.7) > 1e-3 {
		t.Errorf("%g and %g, want 1.5 and 0.7", a, b)
	}
}

// TestScattered: a line through four points, whose scatter is 1 about it. Its height has
// a standard error of 1/sqrt(4) when each point counts, its slope one of 1/sqrt(20); when two
// count as one, both are wider by sqrt(2). What nothing hangs on is not known at all.
func TestScattered(t *testing.T) {
	height, slope, nothing := []float64{1, 1, 1, 1}, []float64{-3, -1, 1, 3}, []float64{0, 0, 0, 0}
	r := []float64{1, -1, -1, 1}
	for _, asOne := range []int{1, 2} {
		got := scattered([][]float64{height, slope}, r, asOne)
		wider := math.Sqrt(float64(asOne))
		if math.Abs(got[0]-wider/2) > 1e-9 || math.Abs(got[1]-wider/math.Sqrt(20)) > 1e-9 {
			t.Errorf("%d as one: %g, want %g and %g", asOne, got, wider/2, wider/math.Sqrt(20))
		}
	}
	if got := scattered([][]float64{height, nothing}, r, 1); !math.IsInf(got[1], 1) || math.Abs(got[0]-0.5) > 1e-9 {
		t.Errorf("%g, want 0.5 and no end", got)
	}
}

// TestTakeOut: what lies along directions is gone, the rest stays, and a direction
// that is not new is none.
func TestTakeOut(t *testing.T) {
	list := withDirection(nil, []float64{2, 0, 0})
	list = withDirection(list, []float64{1, 3, 0})
	list = withDirection(list, []float64{5, 5, 0})
	r := []float64{7, 8, 9}
	if takeOut(r, list); len(list) != 2 || r[0] != 0 || r[1] != 0 || r[2] != 9 {
		t.Errorf("%d directions, %g left", len(list), r)
	}
}

// TestLeftOut: of a mean of eight, left out in four pairs, the spread is the one of the
// pairs' means: 2, 4, 6, 8 about 5 have a standard error of the square root of 20/12.
func TestLeftOut(t *testing.T) {
	r, ones := []float64{2, 2, 4, 4, 6, 6, 8, 8}, []float64{1, 1, 1, 1, 1, 1, 1, 1}
	if got := leftOut([][]float64{ones}, r, []int{2, 4, 6, 8}); math.Abs(got[0]-math.Sqrt(20./12)) > 1e-6 {
		t.Errorf("%g, want %g", got[0], math.Sqrt(20./12))
	}
}
