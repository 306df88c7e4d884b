package planner

import (
	"context"
	"math"
	"testing"
	"time"

	"sunstoker/sim/weather"
	"sunstoker/site"
)

func exampleSite(t testing.TB, name string) *site.Site {
	t.Helper()
	s, err := site.Load("../deploy/sites/" + name + ".toml")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func runYear(t testing.TB, s *site.Site, w weather.Source, step time.Duration) *Year {
	t.Helper()
	r, err := NewRun(s, RunOptions{Weather: w, Start: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Step: step, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	y, err := RunYear(context.Background(), r, nil)
	if err != nil {
		t.Fatal(err)
	}
	return y
}

// TestYearAddsUp: the energy book closes, and the months hold what the house
// did.
func TestYearAddsUp(t *testing.T) {
	y := runYear(t, exampleSite(t, "house-with-winter"), weather.NorthItaly(), 30*time.Second)
	total := y.Total()
	if len(y.Months) != 12 || total.FromSunKWh <= 0 {
		t.Fatalf("%d months, %g kWh from the sun", len(y.Months), total.FromSunKWh)
	}
	if got := math.Abs(y.ImbalanceKWh); got > 1e-6*total.FromSunKWh {
		t.Errorf("the energy book is out by %g kWh", got)
	}
}

func BenchmarkYear(b *testing.B) {
	s := exampleSite(b, "house-with-winter")
	for b.Loop() {
		runYear(b, s, weather.NorthItaly(), 10*time.Second)
	}
}
