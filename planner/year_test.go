package planner

import (
	"context"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/sim"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

var newYear = time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)

func exampleSite(t testing.TB, name string) *site.Site {
	t.Helper()
	s, err := site.Load("../deploy/sites/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func yearOf(t testing.TB, s *site.Site, o RunOptions) *Year {
	t.Helper()
	if o.Start.IsZero() {
		o.Start = time.Date(2026, 1, 1, 0, 0, 0, 0, s.Zone)
	}
	o.Seed = 1
	r, err := NewRun(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return mustRun(t, r)
}

// TestProofEnergyBookCloses: for every example site in two climates all heat is
// accounted for, to a millionth of what the sun brought. A month, or the whole year.
func TestProofEnergyBookCloses(t *testing.T) {
	skipRaced(t)
	months := 1
	if whole() {
		months = 12
	}
	files, err := filepath.Glob("../deploy/sites/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatalf("no example sites: %v", err)
	}
	climates := []struct {
		name string
		year func() *weather.Hourly
	}{{"north Italy", weather.NorthItaly}, {"Greensboro", weather.Greensboro}}
	for _, file := range files {
		for _, climate := range climates {
			name := strings.TrimSuffix(filepath.Base(file), ".toml")
			t.Run(name+" in "+climate.name, func(t *testing.T) {
				t.Parallel()
				y := yearOf(t, exampleSite(t, name), RunOptions{Weather: climate.year(), Step: LongestStep, Months: months})
				total := y.Total()
				if len(y.Months) != months || total.FromSunKWh <= 0 || total.DrawnKWh <= 0 {
					t.Fatalf("%d months, %g kWh from the sun, %g kWh drawn", len(y.Months), total.FromSunKWh, total.DrawnKWh)
				}
				if got := y.UnexplainedKWh; got > 1e-6*total.FromSunKWh {
					t.Errorf("the energy book is out by %g kWh", got)
				}
			})
		}
	}
}

// TestMonthsFollowTheCivilCalendar: months begin at midnight of the site, not
// of Greenwich, through both changes of the clock.
func TestMonthsFollowTheCivilCalendar(t *testing.T) {
	s := exampleSite(t, "house-with-winter")
	start := time.Date(2026, 3, 1, 0, 0, 0, 0, s.Zone)
	y := yearOf(t, s, RunOptions{Weather: weather.NorthItaly(), Start: start, Step: LongestStep, Months: 2})
	if len(y.Months) != 2 {
		t.Fatalf("%d months, want 2", len(y.Months))
	}
	for i, want := range []string{"2026-03-01T00:00:00+01:00", "2026-04-01T00:00:00+02:00"} {
		if got := y.Months[i].Start.Format(time.RFC3339); got != want {
			t.Errorf("month %d begins %s, want %s", i, got, want)
		}
	}
}

func TestRunRefusesWhatItCannotDo(t *testing.T) {
	s := exampleSite(t, "house-with-winter")
	for _, o := range []RunOptions{
		{Step: time.Millisecond}, {Step: time.Minute}, {Step: -time.Second}, {Months: 13}, {Months: -1},
	} {
		o.Weather, o.Start = weather.NorthItaly(), newYear
		if _, err := NewRun(s, o); err == nil || !strings.Contains(err.Error(), "give") {
			t.Errorf("%+v: error %v does not say what to give", o, err)
		}
	}
	r, err := NewRun(s, RunOptions{Weather: weather.NorthItaly(), Start: newYear})
	if err != nil {
		t.Fatal(err)
	}
	ended, stop := context.WithCancel(context.Background())
	stop()
	if _, err := RunYear(ended, r, nil); err == nil {
		t.Error("a run that was called off gives a year")
	}
}

func BenchmarkYear(b *testing.B) {
	s := exampleSite(b, "house-with-winter")
	w := weather.NorthItaly()
	for b.Loop() {
		yearOf(b, s, RunOptions{Weather: w, Step: 10 * time.Second})
	}
}

// TestMainsCutDarkensTheBoard: nothing decides while the mains are cut, and the
// pump rests and settles before it runs again.
func TestMainsCutDarkensTheBoard(t *testing.T) {
	s := exampleSite(t, "house-with-winter")
	start := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	r, err := NewRun(s, RunOptions{
		Weather: weather.NorthItaly(), Start: start, Step: 10 * time.Second, Months: 1,
		Faults: []sim.Fault{{Name: "mains power cut", Start: 12 * time.Hour, Duration: time.Hour}},
	})
	if err != nil {
		t.Fatal(err)
	}
	dark, onSoon := 0, 0
	for r.House.Elapsed() < 14*time.Hour {
		out := r.Step()
		switch since := r.House.Elapsed() - 13*time.Hour; {
		case out == nil:
			dark++
		case since > 0 && since < time.Minute && out.Decisions[0].On():
			onSoon++
		}
	}
	if dark < 355 || dark > 365 {
		t.Errorf("%d steps of 10 s without a decision in an hour of darkness", dark)
	}
	if onSoon > 0 {
		t.Error("the pump ran at once after the cut")
	}
}
