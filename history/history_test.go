package history

import (
	"context"
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

func TestMinutesBecomeQuarterHoursHoursAndDays(t *testing.T) {
	h := newHouse(t, t.TempDir())
	for minute := range 26 * 60 {
		h.read(1, 40+float64(minute%10)) // mean 44.5 of every ten minutes
		h.pass(time.Minute, func(t *tick.Tick) { t.Systems[0].Energy.SunJ += 1000 })
		if minute%10 == 9 {
			h.write()
		}
	}
	h.stop()
	r := openFolder(t, h.h.o.Folder)
	for _, c := range []struct {
		tier, rows int
		low, high  float64
	}{{minuteTier, 1560, 40, 40}, {quarterTier, 103, 40, 49}, {hourTier, 25, 40, 49}, {dayTier, 1, 40, 49}} {
		var rows []row
		err := r.rows(context.Background(), c.tier, 0, 1<<60, func(r *row) error {
			kept := *r
			kept.cells = append([]cell(nil), r.cells...)
			rows = append(rows, kept)
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
		if len(rows) != c.rows {
			t.Errorf("%d %s, want %d", len(rows), tiers[c.tier].words, c.rows)
			continue
		}
		first := rows[0]
		if first.start != floorTo(noon.Unix(), tiers[c.tier].span) || !first.sure {
			t.Errorf("%s begin at %d, sure %v", tiers[c.tier].words, first.start, first.sure)
		}
		for i := range first.series {
			switch s, cell := &first.series[i], &first.cells[i]; s.Name {
			case "tank_top":
				if cell.seconds != first.seconds || cell.low != c.low || cell.high != c.high {
					t.Errorf("%s: tank top %+v in %d s", tiers[c.tier].words, *cell, first.seconds)
				}
				if c.tier == dayTier && !near(cell.mean, 44.5, 0.01) {
					t.Errorf("mean of the day %g", cell.mean)
				}
			case "sun_heat":
				// The first tick of a run has nothing before it to compare with.
				if want := float64(first.seconds-1) * 1000; cell.amount != want {
					t.Errorf("%s: %g J from the sun, want %g", tiers[c.tier].words, cell.amount, want)
				}
			}
		}
	}
}

func TestAChartShowsWhatWasThere(t *testing.T) {
	h := newHouse(t, t.TempDir())
	for minute := range 100 {
		h.read(0, float64(minute))
		h.tick.Readings[2].Quality = control.Missing
		h.pass(time.Minute)
		if minute == 49 {
			h.write()
		}
	}
	r, err := h.h.Open()
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	// Half of it is written, half of it still waits: the chart has both, but for the
	// minute under way.
	c := chartOf(t, r, noon, noon.Add(2*time.Hour))
	l := c.line(t, "collector")
	if c.Span != time.Minute || len(c.Starts) != 99 || len(l.Mean) != 99 {
		t.Fatalf("%v a point, %d points", c.Span, len(c.Starts))
	}
	for i, v := range l.Mean {
		if c.Starts[i] != noon.Unix()+int64(i)*60 || v != float64(i) {
			t.Fatalf("point %d: %g at %d", i, v, c.Starts[i])
		}
	}
	if gone := c.line(t, "tank_bottom"); !math.IsNaN(gone.Mean[3]) || !math.IsNaN(gone.Low[3]) {
		t.Errorf("a reading that is missing shows as %g", gone.Mean[3])
	}
	// Fewer points: means of more minutes, with their lowest and highest.
	c, err = r.Chart(context.Background(), Wanted{From: noon, To: noon.Add(100 * time.Minute), Points: 10, Series: []Series{l.Series}})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Lines) != 1 || c.Span != 10*time.Minute || len(c.Starts) != 10 {
		t.Fatalf("%d lines, %d points of %v", len(c.Lines), len(c.Starts), c.Span)
	}
	if l := c.Lines[0]; !near(l.Mean[2], 24.5, 1e-9) || l.Low[2] != 20 || l.High[2] != 29 {
		t.Errorf("the third point is %g, %g to %g", l.Mean[2], l.Low[2], l.High[2])
	}
}

func TestTheTierOfAChart(t *testing.T) {
	const hour, day = 3600, 86400
	for _, c := range []struct{ length, points, want int64 }{
		{hour, 1000, minuteTier}, {day, 1000, minuteTier}, {8 * day, 1000, minuteTier}, {10 * day, 1000, quarterTier},
		{day, 24, hourTier}, {day, 96, quarterTier}, {day, 97, minuteTier}, {365 * day, 365, dayTier}, {365 * day, 1000, hourTier},
		{3 * 365 * day, 2000, dayTier}, {20 * 365 * day, 1000, dayTier}, {60, 1, minuteTier},
	} {
		if got := tierFor(0, c.length, c.points); int64(got) != c.want {
			t.Errorf("%d s in %d points come of %s, want %s", c.length, c.points, tiers[got].words, tiers[c.want].words)
		}
	}
}

func TestAChartRefusesNonsense(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(time.Minute)
	h.stop()
	r := openFolder(t, h.h.o.Folder)
	for _, w := range []Wanted{{From: noon, To: noon}, {From: noon, To: noon.Add(-1)}, {From: noon, To: noon.Add(time.Hour), Points: -1}, {From: noon, To: noon.Add(time.Hour), Points: mostPoints + 1}} {
		if _, err := r.Chart(context.Background(), w); err == nil {
			t.Errorf("%+v is taken", w)
		}
	}
	if _, err := r.Energy(context.Background(), noon, noon, Daily, time.UTC); err == nil {
		t.Error("a sheet of no time is taken")
	}
}

func TestEventsTellWhatHappened(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(time.Minute)
	h.decide(0, 1, control.Comfort, control.SaysLoopGains, 61.3, 24.9)
	h.pass(90 * time.Second)
	h.tick.Outputs[1].Override = control.OverrideState{Level: 1, Left: time.Hour}
	h.decide(1, 1, control.Person, control.SaysOverride, 3600)
	h.pass(time.Minute)
	h.tick.Outputs[1].Override = control.OverrideState{}
	h.decide(1, 0, control.Comfort, control.SaysHeaterWarm, 47.8, 45)
	h.tick.Findings = []control.Finding{{Kind: control.FoundProbeSilent, System: 0, About: control.AboutProbe, Place: control.Collector,
		Evidence: control.Reason{Words: control.SawProbeMissing, Values: [3]float64{192}}, Detail: "the sensor answered nothing"}}
	h.pass(time.Minute)
	h.tick.Findings = nil
	h.pass(time.Minute)
	h.stop()
	r := openFolder(t, h.h.o.Folder)
	got := ""
	for _, e := range eventsOf(t, r) {
		line := fmt.Sprintln(e.Time.Format(time.TimeOnly), e.Kind, e.System, e.Part, plain(e.Level, shareSteps), e.Rank, e.whatText()+":", e.Text(), e.Detail)
		got += strings.Join(strings.Fields(line), " ") + "\n"
	}
	want := `12:00:00 program started 0.000 0.1.0:
12:00:00 decision roof loop_pump 0.000 upkeep : nothing asks for it
12:00:00 decision roof backup_heater 0.000 upkeep : nothing asks for it
12:01:00 decision roof loop_pump 1.000 comfort : the collector, 61.3 °C, is 24.9 K hotter than the tank bottom
12:02:30 override set roof backup_heater 1.000 : set by hand for 60 min
12:02:30 decision roof backup_heater 1.000 a person's override : set by hand for another 60 min
12:03:30 override ended roof backup_heater 1.000 :
12:03:30 decision roof backup_heater 0.000 comfort : the tank top, 47.8 °C, is warm enough; the heater helps from 45.0 °C down
12:03:30 finding raised roof collector 0.000 probe_silent: no value for 4 min the sensor answered nothing
12:04:30 finding cleared roof collector 0.000 probe_silent: A probe gives no value
12:05:29 program stopped 0.000 :
`
	if got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
	if n := len(eventsOf(t, r, Raised, Cleared)); n != 2 {
		t.Errorf("%d events of findings, want 2", n)
	}
}

// TestReasonsThatTakeTurnsAreNotAllEvents: at a border of two reasons they could
// take turns every second.
func TestReasonsThatTakeTurnsAreNotAllEvents(t *testing.T) {
	h := newHouse(t, t.TempDir())
	says := [2]control.Words{control.SaysHeaterWarm, control.SaysHeaterOutsideWindows}
	h.pass(10*time.Minute, func(t *tick.Tick) { t.Outputs[1].Reason.Words = says[t.Number%2] })
	h.stop()
	n := 0
	for _, e := range eventsOf(t, openFolder(t, h.h.o.Folder), Decided) {
		if e.Part == "backup_heater" {
			n++
		}
	}
	if n < 10 || n > 21 {
		t.Errorf("%d decisions in 10 min of turns, want some 20", n)
	}
}

// TestAWildMinuteIsBounded: what switches every second is kept in part, and the
// rest is counted.
func TestAWildMinuteIsBounded(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(3*time.Minute, func(t *tick.Tick) {
		t.Outputs[0].Level = float64(t.Number % 2)
		t.Outputs[1].Level = float64(t.Number % 2)
	})
	h.stop()
	r := openFolder(t, h.h.o.Folder)
	if n := len(eventsOf(t, r, Decided)); n < 150 || n > 180 {
		t.Errorf("%d decisions are kept of 3 min, want 60 a minute", n)
	}
	missed := eventsOf(t, r, Missed)
	if len(missed) != 3 || missed[1].Values[0] != 60 || missed[1].What.Key != "events" {
		t.Errorf("missed: %+v", missed)
	}
}

func TestTheNextRunGoesOnWhereTheLastOneStopped(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(7*time.Minute + 20*time.Second)
	h.stop() // in the middle of a minute, a quarter hour, an hour and a day
	h = h.again(2 * time.Hour)
	h.pass(30*time.Minute, func(t *tick.Tick) { t.Systems[0].Energy.SunJ += 500 })
	h.stop()
	h.sound()
	r := openFolder(t, h.h.o.Folder)
	c := chartOf(t, r, noon, noon.Add(3*time.Hour))
	if len(c.Starts) != 8+31 {
		t.Errorf("%d minutes, want 8 and 31", len(c.Starts))
	}
	err := r.rows(context.Background(), quarterTier, noon.Unix(), noon.Unix()+900, func(q *row) error {
		if q.seconds != 440 {
			t.Errorf("the quarter hour that was broken off has %d s, want 440", q.seconds)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// TestAnEnergyBookThatFallsCountsAsNothing: after a crash the controller takes up
// an older state.
func TestAnEnergyBookThatFallsCountsAsNothing(t *testing.T) {
	h := newHouse(t, t.TempDir())
	add := func(j float64) func(*tick.Tick) { return func(t *tick.Tick) { t.Systems[0].Energy.MeterJ += j } }
	h.pass(time.Minute, add(2000))
	h.tick.Systems[0].Energy.MeterJ = 500
	h.pass(time.Minute, add(2000))
	h.stop()
	sheet, err := openFolder(t, h.h.o.Folder).Energy(context.Background(), noon, noon.Add(time.Hour), Hourly, time.UTC)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range sheet.Series {
		if s.Name == "meter_heat" && sheet.Periods[0].Sums[i] != 118*2000 {
			t.Errorf("%g J, want what 118 ticks brought", sheet.Periods[0].Sums[i])
		}
	}
}

func TestEnergyByCivilDaysMonthsAndYears(t *testing.T) {
	folder := t.TempDir()
	zone, err := time.LoadLocation("Europe/Rome")
	if err != nil {
		t.Fatal(err)
	}
	// From before the change to winter time until the new year, 1 MJ an hour.
	begin := time.Date(2026, 10, 24, 0, 0, 0, 0, zone)
	end := time.Date(2027, 1, 2, 0, 0, 0, 0, zone)
	fillHours(t, folder, begin.Unix(), end.Unix(), 1e6)
	r := openFolder(t, folder)
	for _, c := range []struct {
		by   Period
		want map[string]float64
	}{
		{Daily, map[string]float64{"2026-10-24": 24e6, "2026-10-25": 25e6, "2026-10-26": 24e6}},
		{Monthly, map[string]float64{"2026-10-01": (24 + 25 + 6*24) * 1e6, "2026-12-01": 31 * 24e6}},
		{Yearly, map[string]float64{"2027-01-01": 24e6}},
	} {
		sheet, err := r.Energy(context.Background(), begin, end, c.by, zone)
		if err != nil {
			t.Fatal(err)
		}
		found := map[string]float64{}
		for _, p := range sheet.Periods {
			found[p.Begin.Format(time.DateOnly)] = p.Sums[0]
		}
		for day, want := range c.want {
			if found[day] != want {
				t.Errorf("by %v, %s: %g J, want %g", c.by, day, found[day], want)
			}
		}
	}
}

// fillHours writes hours of one amount.
func fillHours(t testing.TB, folder string, from, to int64, joules float64) {
	t.Helper()
	s, err := openStore(filepath.Join(folder, FileName), "")
	if err != nil {
		t.Fatal(err)
	}
	series := []Series{{System: "roof", Name: "sun_heat", Unit: "J", Steps: 1, Sum: true}}
	err = s.transaction(func() error {
		for at := from; at < to; at += 3600 {
			if err := s.put(hourTier, &row{start: at, seconds: 3600, sure: true, series: series, cells: []cell{{amount: joules}}}); err != nil {
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

// TestAnotherSiteFileGoesOnWithWhatItShares: a probe more, a probe less.
func TestAnotherSiteFileGoesOnWithWhatItShares(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(20 * time.Minute)
	h.stop()
	h = h.again(0)
	plan := *h.tick.House.Plan
	plan.Probes = append([]control.Probe{{System: 0, Place: control.Tap}}, plan.Probes[1:]...)
	h.tick.House = &tick.House{Name: "House on the hill", Plan: &plan, Version: "0.2.0"}
	h.pass(20 * time.Minute)
	h.stop()
	h.sound()
	r := openFolder(t, h.h.o.Folder)
	c := chartOf(t, r, noon, noon.Add(time.Hour))
	top, collector, tap := c.line(t, "tank_top"), c.line(t, "collector"), c.line(t, "tap")
	if math.IsNaN(top.Mean[5]) || math.IsNaN(top.Mean[35]) || top.Mean[35] != 47.8 {
		t.Errorf("the tank top, which stayed: %g and %g", top.Mean[5], top.Mean[35])
	}
	if collector.Mean[5] != 61.3 || !math.IsNaN(collector.Mean[35]) || !math.IsNaN(tap.Mean[5]) || tap.Mean[35] != 61.3 {
		t.Errorf("collector %g and %g, tap %g and %g", collector.Mean[5], collector.Mean[35], tap.Mean[5], tap.Mean[35])
	}
	all, err := r.Series(context.Background())
	if err != nil || all[0].Name != "tap" || len(all) != len(h.h.gather.series)+1 {
		t.Errorf("%d series, the first %s, %v", len(all), all[0].Name, err)
	}
}
