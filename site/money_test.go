package site

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"sunstoker/control"
)

func TestPricesAreWritten(t *testing.T) {
	for want, price := range map[string]Price{"0.30 EUR": {0.3, "EUR"}, "0.125 €": {0.125, "€"}, "890.50 COP": {890.5, "COP"}, "3000 Rp.": {3000, "Rp."}, "1000000 Rp.": {1_000_000, "Rp."}} {
		if got := price.String(); got != want {
			t.Errorf("%q, want %q", got, want)
		}
		if again, err := parsePrice(price.String()); err != nil || again != price {
			t.Errorf("%q is read as %v: %v", price, again, err)
		}
	}
}

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

func TestPricesByTimeAreRead(t *testing.T) {
	for text, want := range map[string][]control.Price{
		"0.12 from 22:00 to 06:00": {{Windows: control.Windows{{From: 1320, To: 360}}, PerKWh: 0.12}},
		"0 from 00:00 to 12:00, 0.42 from 12:00 to 24:00": {
			{Windows: control.Windows{{From: 0, To: 720}}}, {Windows: control.Windows{{From: 720, To: 1440}}, PerKWh: 0.42}},
	} {
		if got, err := parsePricesByTime(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %v, %v", text, got, err)
		}
	}
	for text, says := range map[string]string{
		"": "does not begin with a price", "0.12": "no times of the day", "0.12 EUR from 22:00 to 06:00": "does not begin with a price",
		"-1 from 22:00 to 06:00": "does not begin with a price", "0.12 from always": "names no time", "0.12 from never": "names no time",
		"0.12 from 22:00 to 22:00": "ends when it begins", "0.12 from 22:00 to 06:00, 0.3 from 05:59 to 07:00": "overlap",
		"0.12 from 05:00 to 07:00,0.3 from 22:00 to 06:00": "overlap", "0.12 from 22:00 to 06:00,": "does not begin with a price",
		"0.12 from 25:00 to 06:00": "no times of the day",
	} {
		if got, err := parsePricesByTime(text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %v, %v; want %q", text, got, err, says)
		}
	}
}
