package plant

import "math"

// spot is a height of the tank, 0 to 1, that is asked often: between which
// cells it lies is found anew only after the water has moved.
type spot struct {
	height       float64
	generation   int
	below, above int     // cells
	along        float64 // from the middle of the one to that of the other
}

// tempC is the temperature at the spot, straight between the middles of the
// cells.
func (s *spot) tempC(t *tank) float64 {
	if s.generation != t.generation {
		s.seek(t)
	}
	belowC := t.tempC[s.below]
	return belowC + s.along*(t.tempC[s.above]-belowC)
}

func (s *spot) seek(t *tank) {
	s.generation, s.along = t.generation, 0
	x := s.height * float64(t.layers)
	first := 0
	if t.fill == 0 {
		first = 1
	}
	// The middles of whole layers lie a layer apart, so the cell above is known
	// but for the outer two.
	k := min(max(int(math.Ceil(x+0.5-t.fill)), first), t.layers)
	if k > first && x <= t.middle(k-1) {
		k--
	}
	s.below, s.above = k, k
	if k == first || x > t.middle(k) { // below the lowest middle or above the highest
		return
	}
	s.below--
	low, high := t.middle(s.below), t.middle(k)
	s.along = (x - low) / (high - low)
}

// middle is the height of the middle of cell k, in layers above the bottom.
func (t *tank) middle(k int) float64 {
	low, high := t.bounds(k)
	return (low + high) / 2
}
