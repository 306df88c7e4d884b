package replay

import (
	"math"
	"slices"
)

// leastSquares moves x to where the sum of the squares of what residuals gives is
// least: the method of Levenberg (1944) and Marquardt (1963), with differences for
// derivatives. Residuals fills in its slice, which is always as long. It returns what
// is left of them, and their slopes by each of x.
func leastSquares(x []float64, n, rounds int, residuals func(x, into []float64)) (now []float64, slope [][]float64) {
	const (
		tries  = 12   // of damping in a round
		nudge  = 0.02 // of a logarithm: two percent of a figure
		trifle = 5e-3 // a step of x that is not worth another round
	)
	now, tried := make([]float64, n), make([]float64, n)
	slope = make([][]float64, len(x))
	for k := range slope {
		slope[k] = make([]float64, n)
	}
	damp := 1e-2
	residuals(x, now)
	for range rounds {
		for k := range x {
			was := x[k]
			x[k] = was + nudge
			residuals(x, slope[k])
			x[k] = was
			for i := range slope[k] {
				slope[k][i] = (slope[k][i] - now[i]) / nudge
			}
		}
		moved := 0.0
		for range tries {
			dx := dampedStep(slope, now, damp)
			next := make([]float64, len(x))
			for k := range x {
				next[k] = min(max(x[k]+dx[k], -mostLog), mostLog)
			}
			residuals(next, tried)
			if squares(tried) < squares(now) {
				for k := range x {
					moved = max(moved, math.Abs(next[k]-x[k]))
				}
				copy(x, next)
				now, tried = tried, now
				damp = max(damp/10, 1e-9)
				break
			}
			damp *= 10
		}
		if moved < trifle {
			break
		}
	}
	return now, slope
}

// leftOut is how far each of x spreads when one block of residuals after the other is
// left out: the jackknife of Quenouille (1949) and Tukey (1958), with the slopes in
// place of seeking anew. The blocks are given by where they end.
func leftOut(slope [][]float64, r []float64, ends []int) []float64 {
	steps := make([][]float64, len(ends))
	from := 0
	for b, end := range ends {
		kept := make([][]float64, len(slope))
		for k := range slope {
			kept[k] = slices.Concat(slope[k][:from], slope[k][end:])
		}
		steps[b] = dampedStep(kept, slices.Concat(r[:from], r[end:]), 0)
		from = end
	}
	spread, blocks := make([]float64, len(slope)), float64(len(ends))
	for k := range spread {
		mean, sum := 0.0, 0.0
		for _, step := range steps {
			mean += step[k] / blocks
		}
		for _, step := range steps {
			sum += (step[k] - mean) * (step[k] - mean)
		}
		spread[k] = math.Sqrt(sum * (blocks - 1) / blocks)
	}
	return spread
}

// scattered is how far each of x spreads by the scatter of what is left of the
// residuals, of which so many that follow each other count as one: the standard error
// of textbooks. It sees what blocks that agree can't tell, since nothing in them hangs
// on it.
func scattered(slope [][]float64, r []float64, asOne int) []float64 {
	scatter := math.Sqrt(squares(r) / float64(len(r)) * float64(asOne))
	spread := make([]float64, len(slope))
	for k := range slope {
		var others [][]float64
		for j := range slope {
			if j != k {
				others = withDirection(others, slices.Clone(slope[j]))
			}
		}
		own := slices.Clone(slope[k])
		takeOut(own, others)
		spread[k] = scatter / math.Sqrt(squares(own))
	}
	return spread
}

// mostLog bounds the logarithm of a factor: a figure is sought from a fifth to five
// times of what the site file says.
var mostLog = math.Log(5)

// withDirection is a list of directions at right angles, each as long as 1, with what
// is new in another one.
func withDirection(list [][]float64, other []float64) [][]float64 {
	const trifle = 1e-6 // of its squares: rounding
	was := squares(other)
	takeOut(other, list)
	now := squares(other)
	if now <= trifle*was {
		return list
	}
	for i := range other {
		other[i] /= math.Sqrt(now)
	}
	return append(list, other)
}

// takeOut takes out of r what lies along directions at right angles, each as long as
// 1: what is left is the least that r can be if as much of them as one likes is
// added.
func takeOut(r []float64, directions [][]float64) {
	for _, d := range directions {
		along := dot(r, d)
		for i := range r {
			r[i] -= along * d[i]
		}
	}
}

func squares(of []float64) (sum float64) {
	for _, v := range of {
		sum += v * v
	}
	return sum
}

// dampedStep solves (J'J + damp diag(J'J)) dx = -J'r by elimination.
func dampedStep(slope [][]float64, r []float64, damp float64) []float64 {
	n := len(slope)
	a := make([][]float64, n)
	for i := range a {
		a[i] = make([]float64, n+1)
		for k := range n {
			a[i][k] = dot(slope[i], slope[k])
		}
		a[i][i] += damp*a[i][i] + 1e-12
		a[i][n] = -dot(slope[i], r)
	}
	for i := range a { // the matrix is positive, so that no rows need to change places
		for k := i + 1; k < n; k++ {
			f := a[k][i] / a[i][i]
			for j := i; j <= n; j++ {
				a[k][j] -= f * a[i][j]
			}
		}
	}
	dx := make([]float64, n)
	for i := n - 1; i >= 0; i-- {
		dx[i] = a[i][n]
		for k := i + 1; k < n; k++ {
			dx[i] -= a[i][k] * dx[k]
		}
		dx[i] /= a[i][i]
	}
	return dx
}

func dot(a, b []float64) (sum float64) {
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}
