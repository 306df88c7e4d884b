package rivals

import (
	"math"
	"testing"
)

func TestSpreadIsToldInWords(t *testing.T) {
	none := math.NaN()
	for _, c := range []struct {
		figures spread
		want    string
	}{
		{spread{7}, "7"},
		{spread{none}, "not reached"},
		{spread{}, "not reached"},
		{spread{9, 1, 4}, "4 (1 to 9)"},
		{spread{9, 1}, "5 (1 to 9)"},
		{spread{9, none, 1, math.Inf(1)}, "5 (1 to 9), 2 of 4"},
		{spread{none, 3}, "3, 1 of 2"},
	} {
		if got := c.figures.text("%.0f"); got != c.want {
			t.Errorf("%v: %q, want %q", []float64(c.figures), got, c.want)
		}
	}
}

func TestSeedsOfOneHouseStandTogether(t *testing.T) {
	var rows []*Row
	for _, c := range Report(2) {
		rows = append(rows, &Row{Case: c})
	}
	houses := byHouse(rows)
	if len(houses) != len(setups) {
		t.Fatalf("%d houses of %d setups", len(houses), len(setups))
	}
	for i, h := range houses {
		if len(h) != 2 || h[0] != rows[i] || h[1] != rows[i+len(setups)] {
			t.Errorf("%s: %d rows", h[0].Case.Name(), len(h))
		}
	}
}
