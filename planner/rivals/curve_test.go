package rivals

import (
	"math"
	"slices"
	"testing"
)

// curveOf makes a curve of triples of setting, missed share and kWh.
func curveOf(triples ...[3]float64) Curve {
	var c Curve
	for _, p := range triples {
		c = append(c, Point{Setting: p[0], Outcome: Outcome{Missed: p[1], HeaterKWh: p[2]}})
	}
	return c
}

func TestCurveIsReadBetweenItsPoints(t *testing.T) {
	plain := curveOf([3]float64{60, 0, 500}, [3]float64{50, 0.002, 400}, [3]float64{40, 0.012, 300})
	for _, c := range []struct {
		name         string
		curve        Curve
		missed, want float64
	}{
		{"half way", plain, 0.001, 450},
		{"on a point", plain, 0.002, 400},
		{"a tenth of the way", plain, 0.003, 390},
		{"less is missed than allowed", plain, 0.5, 300},
		{"never as comfortable", curveOf([3]float64{40, 0.02, 300}), 0.001, math.NaN()},
		{"no points", nil, 0.001, math.NaN()},
		{"a point that is beaten", append(curveOf([3]float64{55, 0.001, 600}), plain...), 0.001, 450},
		{"two alike in comfort", append(curveOf([3]float64{51, 0.002, 380}), plain...), 0.002, 380},
	} {
		got := c.curve.At(c.missed)
		if got != c.want && !(math.IsNaN(got) && math.IsNaN(c.want)) && math.Abs(got-c.want) > 1e-9 {
			t.Errorf("%s: %g kWh, want %g", c.name, got, c.want)
		}
	}
}

// TestSweepClosesIn: what is tried next lies in the middle of a crossing, or
// beyond an end that does not reach, and at last nothing is left to try.
func TestSweepClosesIn(t *testing.T) {
	s := temperatures(thermostat)
	for _, c := range []struct {
		name  string
		curve Curve
		want  []float64
	}{
		{"both crossings are wide", curveOf([3]float64{60, 0, 500}, [3]float64{50, 0.002, 400}, [3]float64{40, 0.012, 300}), []float64{55, 45}},
		{"one is close", curveOf([3]float64{60, 0, 500}, [3]float64{50, 0.002, 495}, [3]float64{40, 0.012, 300}), []float64{45}},
		{"too comfortable", curveOf([3]float64{60, 0, 500}, [3]float64{46, 0, 400}), []float64{42}},
		{"too cold", curveOf([3]float64{60, 0.02, 500}, [3]float64{46, 0.05, 400}), []float64{64}},
		{"at the end of the range", curveOf([3]float64{hottestSetC, 0.02, 500}), nil},
		{"near enough", curveOf([3]float64{50.2, 0, 500}, [3]float64{50, 0.02, 400}), nil},
	} {
		if got := s.next(c.curve); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
