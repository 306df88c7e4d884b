package planner

import (
	"math"
	"regexp"
	"strconv"
	"testing"
	"unicode/utf8"

	"sunstoker/planner/paper"
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

// TestWordsOfTheScaleStandApart: what the temperatures mean does not run
// together, in the widest of the page's letters (0.6 of their height in the mean,
// from memory).
func TestWordsOfTheScaleStandApart(t *testing.T) {
	const sizePx, leastGapPx = 11.0, 4
	d := paper.NewDrawing(226, "scale")
	scaleBar(d, paper.Left, 186, paper.Width-paper.Left)
	words := regexp.MustCompile(`<text class="middle quiet" x="([0-9.]+)"[^>]*>([^<]*)<`).FindAllStringSubmatch(d.Done().String(), -1)
	if len(words) < 4 {
		t.Fatalf("%d words", len(words))
	}
	end := 0.0
	for _, w := range words {
		x, err := strconv.ParseFloat(w[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		half := 0.6 * sizePx * float64(utf8.RuneCountInString(w[2])) / 2
		if x-half < end+leastGapPx || x+half > paper.Width {
			t.Errorf("%q spans %.0f to %.0f, the word before ends at %.0f", w[2], x-half, x+half, end)
		}
		end = x + half
	}
}
