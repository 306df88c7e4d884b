package site

import (
	"slices"
	"testing"
)

func TestPricesAreRead(t *testing.T) {
	for text, want := range map[string]Price{
		"0.30 EUR": {0.30, "EUR"}, "0 €": {0, "€"}, "890.5 COP": {890.5, "COP"}, "1000000 Rp.": {1_000_000, "Rp."},
	} {
		if got, err := parsePrice(text); err != nil || got != want {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "0.30", "EUR", "0,30 EUR", "-0.1 EUR", "1e2 EUR", "NaN EUR", "Inf EUR", "1000001 EUR", "0.30  EUR", "0.30 EUR ", "0.30 EUR/kWh", "0.30 <b>", "0.30 ninelette"} {
		if got, err := parsePrice(text); err == nil {
			t.Errorf("%q is taken for %v", text, got)
		}
	}
}

func TestPromisesAreRead(t *testing.T) {
	got, err := parsePromise("95, 120,180, 210, 240, 250.5, 260, 240, 190, 140, 95, 0 kWh")
	if want := []float64{95, 120, 180, 210, 240, 250.5, 260, 240, 190, 140, 95, 0}; err != nil || !slices.Equal(got, want) {
		t.Errorf("%v, %v", got, err)
	}
	for _, text := range []string{
		"", "kWh", "1,2,3,4,5,6,7,8,9,10,11,12", "1,2,3,4,5,6,7,8,9,10,11 kWh", "1,2,3,4,5,6,7,8,9,10,11,12,13 kWh",
		"1,2,3,4,5,6,7,8,9,10,11, kWh", "1,2,3,4,5,6,7,8,9,10,11,-12 kWh", "1,2,3,4,5,6,7,8,9,10,11,100001 kWh", "1,2,3,4,5,6,7,8,9,10,11,NaN kWh",
	} {
		if got, err := parsePromise(text); err == nil {
			t.Errorf("%q is taken for %v", text, got)
		}
	}
}
