package actuators

import (
	"slices"
	"testing"
)

func TestChipsInWords(t *testing.T) {
	got := chipWords([]chip{
		&fakeChip{nameText: "gpiochip0", labelText: "plant", infos: []lineInfo{
			{offset: 0, label: "PUMP", consumer: "sunstoker@12"}, {offset: 1, label: "METER"}, {offset: 2}, {offset: 3, consumer: "onewire@0"},
		}},
		&fakeChip{nameText: "gpiochip1", labelText: "empty"},
	})
	want := []string{
		"GPIO chip gpiochip0 (plant): 4 lines; held: PUMP by sunstoker@12, 3 by onewire@0; free, with a label: METER",
		"GPIO chip gpiochip1 (empty): 0 lines",
	}
	if !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}
