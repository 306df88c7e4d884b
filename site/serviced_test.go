package site

import "testing"

func TestDatesAreRead(t *testing.T) {
	if got, err := parseDate("2024-02-29"); err != nil || got.Format("2 January 2006") != "29 February 2024" {
		t.Errorf("%v, %v", got, err)
	}
	for _, text := range []string{"", "2023-02-29", "1979-12-31", "2200-01-01", "3 May 2024", "2024-5-3", "2024-05-03T00:00:00Z"} {
		if got, err := parseDate(text); err == nil {
			t.Errorf("%q is taken for %v", text, got)
		}
	}
}
