package planner

import (
	"math"
	"testing"
)

// TestHeatScaleReadsWithoutColour: hotter is darker all the way, every degree
// is as far from the next one, and no colour leaves what a screen can show.
func TestHeatScaleReadsWithoutColour(t *testing.T) {
	const steps = 80
	least, most := math.Inf(1), 0.0
	for i := range steps {
		from, to := alongScale(float64(i)/steps), alongScale(float64(i+1)/steps)
		if to.l >= from.l {
			t.Errorf("step %d gets lighter: %g to %g", i, from.l, to.l)
		}
		least, most = min(least, from.distance(to)), max(most, from.distance(to))
	}
	if most > 1.15*least {
		t.Errorf("steps to the eye differ: %g to %g", least, most)
	}
	if heatColour(-40) != heatColour(scaleLowC) || heatColour(200) != heatColour(scaleHighC) {
		t.Error("temperatures beyond the scale are not clamped")
	}
}

// The definition of the space: white is (1, 0, 0), grey has no a and no b.
func TestOklabWhiteAndGrey(t *testing.T) {
	white, black := oklab{1, 0, 0}.rgb(), oklab{0, 0, 0}.rgb()
	if white.R != 255 || white.G != 255 || white.B != 255 || black.R != 0 || black.G != 0 || black.B != 0 {
		t.Errorf("white %v, black %v", white, black)
	}
	if grey := (oklab{0.6, 0, 0}).rgb(); grey.R != grey.G || grey.G != grey.B {
		t.Errorf("grey is coloured: %v", grey)
	}
}
