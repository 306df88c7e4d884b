package history

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// minutesOf gives the minutes of a folder by their start.
func minutesOf(t *testing.T, folder string) map[time.Time]row {
	t.Helper()
	r := openFolder(t, folder)
	out := map[time.Time]row{}
	err := r.rows(context.Background(), minuteTier, -1<<60, 1<<60, func(r *row) error {
		kept := *r
		kept.cells = append([]cell(nil), r.cells...)
		out[time.Unix(r.start, 0).UTC()] = kept
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// TestMinutesWaitForAClock: a board without a battery clock wakes up in 1970, and
// hears the time some minutes later.
func TestMinutesWaitForAClock(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.tick.Wall.Trusted = false
	h.tick.Wall.Time = time.Unix(17, 0)
	h.read(1, 40)
	h.pass(30 * time.Minute)
	h.write()
	if exists(h.h.path) && minutesIn(t, h.h.o.Folder) != 0 {
		t.Error("minutes were written without a date")
	}
	h.tick.Wall.Trusted = true
	h.tick.Wall.Time = noon.Add(30*time.Minute + 10*time.Second)
	h.read(1, 50)
	h.pass(30 * time.Minute)
	h.stop()
	h.sound()
	minutes := minutesOf(t, h.h.o.Folder)
	for at, r := range minutes {
		if at.Before(noon) || !at.Before(noon.Add(61*time.Minute)) || !r.sure {
			t.Errorf("a minute at %v, sure %v", at, r.sure)
		}
	}
	if len(minutes) < 60 || minutes[noon.Add(10*time.Minute)].cells[1].mean != 40 || minutes[noon.Add(45*time.Minute)].cells[1].mean != 50 {
		t.Errorf("%d minutes: %+v", len(minutes), minutes[noon.Add(10*time.Minute)])
	}
	started := eventsOf(t, openFolder(t, h.h.o.Folder), Started)
	if len(started) != 1 || !started[0].Sure || !near(float64(started[0].Time.Unix()), float64(noon.Unix()+10), 2) {
		t.Errorf("started %+v", started)
	}
}

// TestWithoutAClockForHours the board's own one is used, and marked as not sure,
// and a row that is sure stays.
func TestWithoutAClockForHours(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.read(1, 60)
	h.pass(2 * time.Hour)
	h.stop()
	h = h.again(-time.Hour) // as if the last shut-down were an hour earlier
	h.tick.Wall.Trusted = false
	h.read(1, 40)
	h.pass(mostUndated*time.Minute + 30*time.Minute)
	h.write()
	minutes := minutesOf(t, h.h.o.Folder)
	if n := len(minutes); n != 120 {
		t.Errorf("%d minutes, want those of the first run, since the newer ones may still be dated or are in their place", n)
	}
	h.stop()
	h.sound()
	minutes = minutesOf(t, h.h.o.Folder)
	if n := len(minutes); n != 60+mostUndated+30 {
		t.Errorf("%d minutes, want all", n)
	}
	if m := minutes[noon.Add(90*time.Minute)]; !m.sure || m.cells[1].mean != 60 {
		t.Errorf("a minute that is sure was replaced: %+v", m.cells[1])
	}
	if m := minutes[noon.Add(3*time.Hour)]; m.sure || m.cells[1].mean != 40 {
		t.Errorf("sure %v, %+v", m.sure, m.cells[1])
	}
}

// TestAClockThatIsSetBack: what is watched for the second time stands.
func TestAClockThatIsSetBack(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.read(1, 40)
	h.pass(2 * time.Hour)
	h.tick.Wall.Time = h.tick.Wall.Time.Add(-time.Hour)
	h.read(1, 50)
	h.pass(90 * time.Minute)
	h.stop()
	h.sound()
	minutes := minutesOf(t, h.h.o.Folder)
	if len(minutes) != 150 {
		t.Errorf("%d minutes, want 150", len(minutes))
	}
	for at, want := range map[time.Duration]float64{10: 40, 59: 40, 61: 50, 119: 50, 140: 50} {
		if m := minutes[noon.Add(at*time.Minute)]; m.cells[1].mean != want {
			t.Errorf("after %d min: %g, want %g", at, m.cells[1].mean, want)
		}
	}
	// The hour was made of its first watch, and is made anew of the second.
	r := openFolder(t, h.h.o.Folder)
	err := r.rows(context.Background(), hourTier, noon.Unix()+3600, noon.Unix()+7200, func(r *row) error {
		if r.cells[1].mean < 49.5 {
			t.Errorf("the second hour has %+v", r.cells[1])
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestProofClockJumps: however the clock leaps and is trusted or not, all is
// written and the file stays in order.
func TestProofClockJumps(t *testing.T) {
	if testing.Short() {
		t.Skip("a long one")
	}
	jumps := 0
	rapid.Check(t, func(rt *rapid.T) {
		h := newHouse(t, t.TempDir())
		for range rapid.IntRange(1, 6).Draw(rt, "stretches") {
			jumps++
			h.tick.Wall.Trusted = rapid.Bool().Draw(rt, "trusted")
			h.tick.Wall.Time = h.tick.Wall.Time.Add(time.Duration(rapid.Int64Range(-3e5, 3e5).Draw(rt, "by")) * time.Second)
			if rapid.IntRange(0, 9).Draw(rt, "wakes") == 0 {
				h.tick.Wall.Time = time.Unix(rapid.Int64Range(-1e5, 1e5).Draw(rt, "at"), 0)
			}
			h.pass(time.Duration(rapid.Int64Range(1, 1500).Draw(rt, "for")) * time.Second)
			if rapid.Bool().Draw(rt, "writes") {
				h.write()
			}
		}
		h.stop()
		if why := h.h.Trouble(); why != "" {
			rt.Fatal(why)
		}
		var out logText
		if err := Check(context.Background(), h.h.o.Folder, noon, time.UTC, &out); err != nil {
			rt.Fatal(err, out.String())
		}
	})
	t.Logf("proof: history: clock jumps = %d jumps", jumps)
}

// fillDays writes minutes, and what is made of them, days long.
func fillDays(t testing.TB, folder string, from time.Time, days int) {
	t.Helper()
	s, err := openStore(filepath.Join(folder, FileName), "")
	if err != nil {
		t.Fatal(err)
	}
	series := []Series{{System: "roof", Name: "tank_top", Unit: "°C", Steps: usualSteps}, {System: "roof", Name: "sun_heat", Unit: "J", Steps: 1, Sum: true}}
	err = s.transaction(func() error {
		for at := from.Unix(); at < from.AddDate(0, 0, days).Unix(); at += 60 {
			if err := s.put(minuteTier, &row{start: at, seconds: 60, sure: true, series: series, cells: []cell{{seconds: 60, mean: 45, low: 44, high: 46}, {amount: 1000}}}); err != nil {
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
}

// TestAChartReachesBackBeforeTheMinutes: by quarter hours, which are kept longer,
// and before those by days.
func TestAChartReachesBackBeforeTheMinutes(t *testing.T) {
	folder := t.TempDir()
	fillDays(t, folder, noon.AddDate(0, 0, -10), 10)
	if _, _, err := Shrink(context.Background(), folder, Shrunk{MinutesFor: 24 * time.Hour}); err != nil {
		t.Fatal(err)
	}
	c := chartOf(t, openFolder(t, folder), noon.AddDate(0, 0, -3), noon)
	if c.Span != time.Minute || len(c.Starts) < 2*96+1440-15 || len(c.Starts) > 2*96+1440 {
		t.Errorf("%d points of %v", len(c.Starts), c.Span)
	}
	total := 0.0
	for _, v := range c.line(t, "sun_heat").Amount {
		total += v
	}
	// A quarter hour that is cut by the end of the minutes is left out.
	if want := 3 * 1440 * 1000.0; total > want || total < want-15*1000 {
		t.Errorf("%g J in three days, want %g", total, want)
	}
}

func TestWhatIsTooOldIsDroppedDayByDay(t *testing.T) {
	folder := t.TempDir()
	fillDays(t, folder, noon.AddDate(0, 0, -10), 10)
	h := newHouse(t, folder)
	h.h.o.MinutesFor, h.h.o.AllFor = 7*24*time.Hour, 9*24*time.Hour
	oldest := func(table string) time.Time {
		n, err := h.h.store.number("SELECT min(start) FROM " + table)
		if err != nil {
			t.Fatal(err)
		}
		return time.Unix(n, 0).UTC()
	}
	h.pass(12 * time.Minute)
	h.write()
	// Two days of it on the first day: a clock that is wrong by years takes no more.
	if at := oldest("minutes"); !at.Equal(noon.AddDate(0, 0, -8)) {
		t.Errorf("the oldest minute is of %v", at)
	}
	h.pass(time.Hour)
	h.write()
	if at := oldest("minutes"); !at.Equal(noon.AddDate(0, 0, -8)) {
		t.Errorf("the oldest minute is of %v on the same day", at)
	}
	h.tick.Wall.Time = h.tick.Wall.Time.Add(24 * time.Hour)
	h.pass(30 * time.Minute)
	h.write()
	if at := oldest("minutes"); at.Before(noon.AddDate(0, 0, -6)) || at.After(noon.AddDate(0, 0, -5)) {
		t.Errorf("the oldest minute is of %v on the next day", at)
	}
	for _, table := range []string{"quarter_hours", "hours"} {
		if at := oldest(table); at.Before(noon.AddDate(0, 0, -8)) || at.After(noon.AddDate(0, 0, -7)) {
			t.Errorf("the oldest of %s is of %v", table, at)
		}
	}
	h.stop()
	h.sound()
}

// TestAClockWrongByYearsCostsFewDays, although it is trusted.
func TestAClockWrongByYearsCostsFewDays(t *testing.T) {
	folder := t.TempDir()
	fillDays(t, folder, noon.AddDate(0, 0, -10), 10)
	h := newHouse(t, folder)
	h.tick.Wall.Time = noon.AddDate(70, 0, 0)
	h.pass(5 * time.Hour)
	h.write()
	h.stop()
	n := 0
	for at := range minutesOf(t, folder) {
		if at.Before(noon) {
			n++
		}
	}
	if n != 8*1440 {
		t.Errorf("%d minutes are left of 10 days, want those of 8", n)
	}
}
