package history

import (
	"context"
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/station/tick"
)

func export(t *testing.T, folder, what string) [][]string {
	t.Helper()
	var text strings.Builder
	r := openFolder(t, folder)
	if err := r.Export(context.Background(), &text, Exported{What: what, From: noon.AddDate(-1, 0, 0), To: noon.AddDate(1, 0, 0)}); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(strings.NewReader(text.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return lines
}

func TestExport(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.read(4, -0.001)
	h.pass(3*time.Hour, func(t *tick.Tick) { t.Systems[0].Energy.SunJ += 1000 })
	h.stop()
	for what, c := range map[string]struct {
		lines int
		want  string // head and first line
	}{
		ExportMinutes: {181, `time_utc,seconds_watched,clock_sure,roof collector °C mean,roof collector °C lowest,roof collector °C highest,roof tank_top °C mean,roof tank_top °C lowest,roof tank_top °C highest,roof tank_bottom °C mean,roof tank_bottom °C lowest,roof tank_bottom °C highest,roof loop_pressure bar mean,roof loop_pressure bar lowest,roof loop_pressure bar highest,outdoor_air °C mean,outdoor_air °C lowest,outdoor_air °C highest,roof loop_pump mean,roof loop_pump lowest,roof loop_pump highest,roof backup_heater mean,roof backup_heater lowest,roof backup_heater highest,roof hot_water l mean,roof hot_water l lowest,roof hot_water l highest,roof sun_heat J,roof meter_heat J,roof drawn_heat J,roof tank_loss J,roof loop_loss J,roof pump_electricity J
2026-06-21T12:00:00Z,60,yes,61.30,61.30,61.30,47.80,47.80,47.80,36.40,36.40,36.40,1.520,1.520,1.520,0.00,0.00,0.00,0.000,0.000,0.000,0.000,0.000,0.000,84.0,84.0,84.0,59000,0,0,0,0,0`},
		ExportQuarterHours: {12, ""},
		ExportEnergy: {3, `time_utc,seconds_watched,clock_sure,roof sun_heat J,roof meter_heat J,roof drawn_heat J,roof tank_loss J,roof loop_loss J,roof pump_electricity J
2026-06-21T12:00:00Z,3600,yes,3599000,0,0,0,0,0`},
		ExportEvents: {5, `time_utc,clock_sure,event,system,part,level,rank,what,why,detail
2026-06-21T12:00:00Z,yes,program started,,,,,0.1.0,,`},
	} {
		lines := export(t, h.h.o.Folder, what)
		if len(lines) != c.lines {
			t.Errorf("%s: %d lines, want %d", what, len(lines), c.lines)
			continue
		}
		if got := strings.Join(lines[0], ",") + "\n" + strings.Join(lines[1], ","); c.want != "" && got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", what, got, c.want)
		}
	}
	if err := openFolder(t, h.h.o.Folder).Export(context.Background(), &strings.Builder{}, Exported{What: "weeks"}); err == nil {
		t.Error("weeks are exported")
	}
}

func check(t *testing.T, folder string, now time.Time) (string, error) {
	t.Helper()
	var out strings.Builder
	err := Check(context.Background(), folder, now, time.UTC, &out)
	return out.String(), err
}

func TestCheckTellsInWords(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(time.Hour)
	h.stop()
	h = h.again(3 * time.Hour)
	h.tick.Wall.Trusted = false
	h.pass(time.Hour)
	h.stop()
	if err := os.WriteFile(h.h.path+".set-aside-2026-01-01", nil, 0o640); err != nil {
		t.Fatal(err)
	}
	text, err := check(t, h.h.o.Folder, noon.Add(4*time.Hour+30*time.Minute))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"minutes: 120, from 2026-06-21 12:00 +0000 to 2026-06-21 17:00 +0000",
		"minutes: 60 were written while nobody could vouch for the clock",
		"minutes: 29 lie in the future: the clock was wrong when they were written",
		"quarter hours: 7,", "hours: 1,", "days: none yet", "events: 8",
		"gaps: 1, 3.0 h in all", "nothing from 2026-06-21 13:00 +0000 to 2026-06-21 16:00 +0000",
		"set aside, since it was damaged: " + h.h.path + ".set-aside-2026-01-01",
		"in order\n",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("%q is not said in\n%s", want, text)
		}
	}
}

// TestCheckCountsTheLog: most of a young history stands in the log of its file.
func TestCheckCountsTheLog(t *testing.T) {
	h := newHouse(t, t.TempDir())
	h.pass(5 * time.Hour)
	h.write()
	text, err := check(t, h.h.o.Folder, noon.Add(5*time.Hour))
	if err != nil || strings.Contains(text, "history.db: 0.0 MB\n") {
		t.Errorf("%v, of five hours\n%s", err, text)
	}
}

// TestCheckFindsDamage: a page of zeros anywhere is found, or was not in use.
func TestCheckFindsDamage(t *testing.T) {
	h := written(t, 20*time.Hour)
	data, err := os.ReadFile(h.h.path)
	if err != nil {
		t.Fatal(err)
	}
	for page := 4096; page < len(data); page += 4096 {
		folder := t.TempDir()
		spoilt := append([]byte(nil), data...)
		clear(spoilt[page : page+4096])
		if err := os.WriteFile(filepath.Join(folder, FileName), spoilt, 0o640); err != nil {
			t.Fatal(err)
		}
		if text, err := check(t, folder, noon); err == nil {
			t.Errorf("page %d of zeros is not found: %s", page/4096, text)
		}
	}
}

func TestShrink(t *testing.T) {
	folder := t.TempDir()
	fillDays(t, folder, noon.AddDate(0, 0, -40), 40)
	daysOf := func() int { return minutesIn(t, folder) / 1440 }
	before, after, err := Shrink(context.Background(), folder, Shrunk{MinutesFor: 30 * 24 * time.Hour})
	if err != nil || after >= before || daysOf() != 30 {
		t.Errorf("by age: from %d to %d bytes, %d days, %v", before, after, daysOf(), err)
	}
	size := after * 6 / 10
	if before, after, err = Shrink(context.Background(), folder, Shrunk{Bytes: size}); err != nil || after > size || daysOf() < 15 || daysOf() > 18 {
		t.Errorf("to %d bytes: from %d to %d bytes, %d days, %v", size, before, after, daysOf(), err)
	}
	if _, _, err := Shrink(context.Background(), folder, Shrunk{Bytes: 10_000}); err == nil || !strings.Contains(err.Error(), "last week of minutes") || daysOf() != 7 {
		t.Errorf("to nothing: %d days, %v", daysOf(), err)
	}
	if _, _, err := Shrink(context.Background(), folder, Shrunk{AllFor: 24 * time.Hour}); err != nil || daysOf() != 1 {
		t.Errorf("all: %d days, %v", daysOf(), err)
	}
	if text, err := check(t, folder, noon); err != nil || !strings.Contains(text, "quarter hours: 95,") {
		t.Errorf("%v\n%s", err, text)
	}
}

// TestShrinkWhileItIsWritten: both get their turn.
func TestShrinkWhileItIsWritten(t *testing.T) {
	folder := t.TempDir()
	fillDays(t, folder, noon.AddDate(0, 0, -10), 10)
	h := newHouse(t, folder)
	h.pass(12 * time.Minute)
	h.write()
	done := make(chan error, 1)
	go func() {
		_, _, err := Shrink(context.Background(), folder, Shrunk{MinutesFor: 24 * time.Hour})
		done <- err
	}()
	for range 20 {
		h.pass(10 * time.Minute)
		h.write()
	}
	if err := <-done; err != nil {
		t.Error(err)
	}
	h.stop()
	h.sound()
	if n := minutesIn(t, folder); n < 1440 || n > 1440+213 {
		t.Errorf("%d minutes are left", n)
	}
	if text, err := check(t, folder, noon.AddDate(0, 0, 1)); err != nil {
		t.Error(err, text)
	}
}

func TestPlain(t *testing.T) {
	for _, c := range []struct {
		v, steps float64
		want     string
	}{{1.234, 100, "1.23"}, {-0.001, 100, "0.00"}, {-1.5, 10, "-1.5"}, {12345, 1, "12345"}, {0.25, 1000, "0.250"}} {
		if got := plain(c.v, c.steps); got != c.want {
			t.Errorf("plain(%g, %g) = %s, want %s", c.v, c.steps, got, c.want)
		}
	}
	if got := cut("ab°c", 3); got != "ab…" {
		t.Error(got)
	}
	if fmt.Sprint(Kind(0), Kind(99), Period(9)) != "unknown unknown unknown" {
		t.Error("unknown kinds have names")
	}
}
