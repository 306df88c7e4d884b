package noise

import (
	"math"
	"testing"
)

func TestStreamsHaveTheirMoments(t *testing.T) {
	s := NewStream(7)
	const n = 200000
	var sum, normal, square, bell, bellSquare float64
	for range n {
		b := s.Bell()
		bell += b
		bellSquare += b * b
		sum += s.Float64()
		x := s.Normal()
		normal += x
		square += x * x
	}
	if m := sum / n; math.Abs(m-0.5) > 0.005 {
		t.Errorf("mean of even numbers %g", m)
	}
	if m, v := bell/n, bellSquare/n; math.Abs(m) > 0.01 || math.Abs(v-1) > 0.02 {
		t.Errorf("bell numbers: mean %g, variance %g", m, v)
	}
	if m, v := normal/n, square/n; math.Abs(m) > 0.01 || math.Abs(v-1) > 0.02 {
		t.Errorf("normal numbers: mean %g, variance %g", m, v)
	}
}

func TestSameSeedSameNumbers(t *testing.T) {
	a, b, c := NewStream(1), NewStream(1), NewStream(2)
	same := 0
	for range 100 {
		x := a.Uint64()
		if x != b.Uint64() {
			t.Fatal("one seed gave two sequences")
		}
		if x == c.Uint64() {
			same++
		}
	}
	if same > 0 || Derive(1, "clouds") == Derive(1, "air") || DeriveN(1, 5) == DeriveN(1, 6) {
		t.Error("different seeds share numbers")
	}
}

func TestSmoothIsBoundedAndSmooth(t *testing.T) {
	last := Smooth(3, -10)
	var sum float64
	for x := -10.0; x < 1000; x += 0.01 {
		v := Smooth(3, x)
		if math.Abs(v) > 1 || math.Abs(v-last) > 0.031 {
			t.Fatalf("at %g: %g after %g", x, v, last)
		}
		last = v
		sum += v
	}
	if mean := sum / 101000; math.Abs(mean) > 0.05 {
		t.Errorf("mean %g", mean)
	}
}
