package history

import (
	"context"
	"testing"
	"time"
)

// TestLongPeriodsAreTheSumsOfTheirHours: whole days stand for their hours in months
// and years, wherever these begin.
func TestLongPeriodsAreTheSumsOfTheirHours(t *testing.T) {
	folder := t.TempDir()
	end := yearsOf(t, folder, 1)
	r := openFolder(t, folder)
	from, to := end.AddDate(-1, 0, 3).Add(5*time.Hour), end.Add(-30*time.Hour)
	for _, name := range []string{"UTC", "Europe/Rome", "America/Bogota", "Asia/Kolkata", "Pacific/Chatham"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, by := range []Period{Monthly, Yearly} {
			long, err := r.Energy(context.Background(), from, to, by, zone)
			if err != nil {
				t.Fatal(err)
			}
			hours, err := r.Energy(context.Background(), from, to, Hourly, zone)
			if err != nil {
				t.Fatal(err)
			}
			at := -1
			for _, hour := range hours.Periods {
				if at < 0 || !long.Periods[at].Begin.Equal(by.begin(hour.Begin)) {
					at++
				}
				if at >= len(long.Periods) || !long.Periods[at].Begin.Equal(by.begin(hour.Begin)) {
					t.Fatalf("%s, %v: no period of the hour %v", name, by, hour.Begin)
				}
				p := &long.Periods[at]
				p.Seconds -= hour.Seconds
				for i := range hour.Sums {
					p.Sums[i] -= hour.Sums[i]
				}
			}
			if at != len(long.Periods)-1 {
				t.Errorf("%s, %v: %d periods, want %d", name, by, len(long.Periods), at+1)
			}
			for _, p := range long.Periods {
				for i, rest := range p.Sums {
					if p.Seconds != 0 || !near(rest, 0, 1) {
						t.Errorf("%s, %v from %v: %d s and %g J of series %d beside its hours", name, by, p.Begin, p.Seconds, rest, i)
					}
				}
			}
		}
	}
}
