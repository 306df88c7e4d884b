package replay

import "math"

// leastSquares moves x to where the sum of the squares of what residuals gives is
// least: the method of Levenberg (1944) and Marquardt (1963), with differences for
// derivatives. Residuals fills in its slice, which is always as long.
func leastSquares(x []float64, n, rounds int, residuals func(x, into []float64)) {
	const (
		tries  = 12   // of damping in a round
		nudge  = 0.02 // of a logarithm: two percent of a figure
		trifle = 1e-3 // a step of x that is not worth another round
	)
	now, tried := make([]float64, n), make([]float64, n)
	slope := make([][]float64, len(x))
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
			return
		}
	}
}

// mostLog bounds the logarithm of a factor: a figure is sought from a fifth to five
// times of what the site file says.
var mostLog = math.Log(5)

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
