package recorded

import (
	"context"
	"slices"
	"testing"
	"time"

	"sunstoker/history"
)

// TestWrite: a day that was written has been watched from its first to its last
// minute, and a fault of it is found.
func TestWrite(t *testing.T) {
	s, err := House(t.TempDir(), Winter)
	if err != nil {
		t.Fatal(err)
	}
	day := time.Date(2026, time.July, 1, 0, 0, 0, 0, s.Zone)
	if err := Write(s, Span{From: day, Length: 48 * time.Hour, Faults: []string{"probe missing at 12h for 6h probe tank bottom"}}); err != nil {
		t.Fatal(err)
	}
	r, err := history.Open(s.History.Folder)
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	sheet, err := r.Energy(context.Background(), day, day.AddDate(0, 0, 2), history.Daily, s.Zone)
	if err != nil || len(sheet.Periods) != 2 || sheet.Periods[0].Seconds < 86390 {
		t.Fatalf("%+v, %v, want two whole days", sheet, err)
	}
	spells, err := r.Spells(context.Background(), day, day.AddDate(0, 0, 2))
	found := slices.ContainsFunc(spells, func(s history.Spell) bool { return s.Raised.What.Key == "probe_silent" && !s.Until.IsZero() })
	if err != nil || !found {
		t.Errorf("%+v, %v, want a probe that was silent for a while", spells, err)
	}
}
