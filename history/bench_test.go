package history

import (
	"context"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// yearsOf fills a folder with quarter hours, hours and days of a house with ten
// figures and six amounts, as fast as can be, and gives the end of it.
func yearsOf(t testing.TB, folder string, years int) (end time.Time) {
	t.Helper()
	s, err := openStore(filepath.Join(folder, FileName), "")
	if err != nil {
		t.Fatal(err)
	}
	begin := time.Date(2006, 1, 1, 0, 0, 0, 0, time.UTC)
	end = begin.AddDate(years, 0, 0)
	r := row{seconds: 900, sure: true}
	for i := range 10 {
		r.series = append(r.series, Series{System: "roof", Name: fmt.Sprint("probe ", i), Unit: "°C", Steps: usualSteps})
	}
	for i := range 6 {
		r.series = append(r.series, Series{System: "roof", Name: fmt.Sprint("heat ", i), Unit: "J", Steps: 1, Sum: true})
	}
	r.cells = make([]cell, len(r.series))
	if _, err := s.exec("PRAGMA synchronous = OFF"); err != nil {
		t.Fatal(err)
	}
	err = s.transaction(func() error {
		for r.start = begin.Unix(); r.start < end.Unix(); r.start += 900 {
			for i := range r.cells {
				v := 45 + 30*math.Sin(float64(r.start)/13751*float64(i+1))
				r.cells[i] = cell{seconds: 900, mean: v, low: v - 0.4, high: v + 0.7, amount: 500_000 * math.Abs(v) / 75}
			}
			if err := s.put(quarterTier, &r); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.close(); err != nil {
		t.Fatal(err)
	}
	return end
}

// yearChart reads the last year of a history as a page shows it.
func yearChart(t testing.TB, r *Reader, end time.Time) time.Duration {
	begun := time.Now()
	c, err := r.Chart(context.Background(), Wanted{From: end.AddDate(-1, 0, 0), To: end})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Lines) != 16 || len(c.Starts) < 900 || len(c.Starts) > 1000 {
		t.Fatalf("%d lines of %d points", len(c.Lines), len(c.Starts))
	}
	return time.Since(begun)
}

// quickest is the least time of some tries: another program on the machine only
// makes one slower.
func quickest(tries int, do func() time.Duration) time.Duration {
	least := do()
	for range tries - 1 {
		least = min(least, do())
	}
	return least
}

// readsAYearAlone holds that a chart goes through the rows of its own span and
// through no others, neither in this program nor in SQLite.
func readsAYearAlone(t *testing.T, r *Reader, end time.Time) {
	t.Helper()
	from, rows := end.AddDate(-1, 0, 0).Unix(), 0
	at := tierFor(from, end.Unix(), usualPoints)
	if err := r.scan(context.Background(), at, from, end.Unix(), func(*row) error { rows++; return nil }); err != nil {
		t.Fatal(err)
	}
	if rows < 365*24 || rows > 366*24+8 {
		t.Errorf("a year is %d rows", rows)
	}
	err := eachRow(context.Background(), r.db, "EXPLAIN QUERY PLAN "+rowsQuery(tiers[at].table), func(scan func(...any) error) error {
		var a, b, c int
		var plan string
		if err := scan(&a, &b, &c, &plan); err != nil {
			return err
		}
		if !strings.HasPrefix(plan, "SEARCH hours USING INTEGER PRIMARY KEY") {
			t.Errorf("SQLite would %s", plan)
		}
		return nil
	}, from, end.Unix())
	if err != nil {
		t.Fatal(err)
	}
}

// TestProofAYearOutOfTwenty: a chart of a year costs what a year costs, whether one
// year is kept or twenty.
func TestProofAYearOutOfTwenty(t *testing.T) {
	if testing.Short() {
		t.Skip("a long one")
	}
	years := 3
	if os.Getenv("SUNSTOKER_PROOF") != "" {
		years = 20
	}
	var took [2]time.Duration
	var size int64
	for i, n := range []int{1, years} {
		folder := t.TempDir()
		end := yearsOf(t, folder, n)
		info, err := os.Stat(filepath.Join(folder, FileName))
		if err != nil {
			t.Fatal(err)
		}
		size = info.Size()
		r := openFolder(t, folder)
		readsAYearAlone(t, r, end)
		took[i] = quickest(10, func() time.Duration { return yearChart(t, r, end) })
	}
	t.Logf("proof: history: years in the file = %d years", years)
	t.Logf("proof: history: its size = %.0f MB", float64(size)/1e6)
	t.Logf("proof: history: a year's chart out of them, 16 curves = %.1f ms", took[1].Seconds()*1e3)
	t.Logf("proof: history: by that out of a single year = %.2f", took[1].Seconds()/took[0].Seconds())
	if took[1] > 100*time.Millisecond && os.Getenv("SUNSTOKER_PROOF") != "" {
		t.Errorf("a year's chart takes %v", took[1])
	}
}

// BenchmarkYearChart is the last year out of twenty, by hours, as a page asks for.
func BenchmarkYearChart(b *testing.B) {
	folder := b.TempDir()
	end := yearsOf(b, folder, 20)
	r, err := Open(folder)
	if err != nil {
		b.Fatal(err)
	}
	defer r.Close()
	b.ReportAllocs()
	for b.Loop() {
		yearChart(b, r, end)
	}
}

// BenchmarkWatch is a tick added to the minute under way.
func BenchmarkWatch(b *testing.B) {
	h := newHouse(b, b.TempDir())
	h.pass(time.Minute)
	next := h.tick
	b.ReportAllocs()
	for b.Loop() {
		next.Number++
		next.At += time.Second
		next.Wall.Time = next.Wall.Time.Add(time.Second)
		h.h.Watch(&next)
		if len(h.h.waiting) > 100 {
			h.h.waiting = nil
		}
	}
}
