package station

import (
	"bytes"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

const (
	romeDeg, romeEastDeg = 41.9, 12.5
	goodForecast         = "# made by hand\ntime,light\n2026-07-01T06:00+02:00,112\n2026-07-01T05:00:00Z, 268.5\n2026-07-01T08:00+02:00,431\n2026-07-01T10:00+02:00,700\n"
)

func TestForecastFileIsRead(t *testing.T) {
	hours, err := readForecast([]byte(goodForecast), romeDeg, romeEastDeg)
	if err != nil || len(hours) != 4 {
		t.Fatalf("%v, %v", hours, err)
	}
	four := time.Date(2026, 7, 1, 4, 0, 0, 0, time.UTC)
	for i, want := range []toldHour{{four, 112}, {four.Add(time.Hour), 268.5}, {four.Add(2 * time.Hour), 431}, {four.Add(4 * time.Hour), 700}} {
		if !hours[i].begin.Equal(want.begin) || hours[i].wm2 != want.wm2 {
			t.Errorf("row %d: %v", i, hours[i])
		}
	}
	made := four.Add(-time.Hour)
	l, err := lightOf(hours, made, four.Add(90*time.Minute), true)
	if err != nil || !l.From.Equal(four.Add(time.Hour)) || !l.Made.Equal(made) || !l.OnCollectors {
		t.Fatalf("%v, %v", l, err)
	}
	for i, want := range []float64{268.5, 431, -1, 700, -1} {
		if l.WM2[i] != want {
			t.Errorf("hour %d: %g W/m², want %g", i, l.WM2[i], want)
		}
	}
	if l, err := lightOf(hours, made, four.Add(5*time.Hour-1), false); err != nil || l.WM2[0] != 700 || l.OnCollectors {
		t.Errorf("in the last hour: %v, %v", l, err)
	}
	if _, err := lightOf(hours, made, four.Add(5*time.Hour), false); err == nil || !strings.Contains(err.Error(), "all its hours are past") {
		t.Errorf("after the last hour: %v", err)
	}
	far := append(hours, toldHour{four.Add(control.LightHours * time.Hour), 3})
	if l, err := lightOf(far, made, four, false); err != nil || l.WM2[control.LightHours-1] != -1 {
		t.Errorf("with an hour too far away: %v", err)
	}
}

// TestForecastFileThatIsWrong: each error names the line and what to do.
func TestForecastFileThatIsWrong(t *testing.T) {
	rows := func(lines ...string) string { return "time,light\n" + strings.Join(lines, "\n") + "\n" }
	for name, c := range map[string]struct{ text, says string }{
		"empty":           {"", "no hour is foretold; write"},
		"only a header":   {"time,light\n", "no hour is foretold; write"},
		"another header":  {"when,how much\n2026-07-01T06:00Z,1\n", `line 1: the header is "when,how much"; write "time,light"`},
		"no header":       {"2026-07-01T06:00Z,112\n", "line 1: the header is"},
		"no zone":         {rows("2026-07-01T06:00,112"), `line 2: "2026-07-01T06:00" is no time with its zone`},
		"a day":           {rows("2026-07-01,112"), "line 2: "},
		"three fields":    {rows("2026-07-01T06:00Z,112,3"), "line 2: 3 fields"},
		"decimal comma":   {rows("2026-07-01T06:00Z,112,5"), "line 2: 3 fields"},
		"no figure":       {rows("2026-07-01T06:00Z,bright"), `line 2: "bright" is no light of 0 to 1500 W/m²`},
		"a unit":          {rows("2026-07-01T06:00Z,112 W/m²"), "line 2: "},
		"below zero":      {rows("2026-07-01T06:00Z,-1"), "line 2: "},
		"not a number":    {rows("2026-07-01T06:00Z,NaN"), "line 2: "},
		"too bright":      {rows("2026-07-01T06:00Z,1501"), "line 2: "},
		"half hours":      {rows("2026-07-01T06:00Z,112", "2026-07-01T06:30Z,112"), "line 3: this hour begins 30m0s after the one above"},
		"an hour twice":   {rows("2026-07-01T06:00Z,112", "2026-07-01T08:00+02:00,112"), "line 3: this hour begins 0s"},
		"backwards":       {rows("2026-07-01T06:00Z,112", "2026-07-01T05:00Z,112"), "line 3: this hour begins -1h0m0s"},
		"off the hour":    {rows("2026-07-01T06:00Z,112", "2026-07-01T07:10Z,112"), "line 3: "},
		"light at night":  {rows("2026-07-01T11:00Z,800", "2026-07-01T23:00Z,300"), "line 3: 300 W/m² at 2026-07-01 23:00 Z, when it is night here; mend the time zone"},
		"another quote":   {rows(`2026-07-01T06:00Z,"112`), "no rows of two fields"},
		"far too long":    {rows(strings.Repeat("#", mostForecastBytes)), "more than 1048576 bytes"},
		"a page of a web": {"<!DOCTYPE html>\n<html>\n", "line 1: the header is"},
	} {
		if hours, err := readForecast([]byte(c.text), romeDeg, romeEastDeg); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v, %v; want %q", name, hours, err, c.says)
		}
	}
	for name, row := range map[string]string{"a trace at night": "2026-07-01T23:00Z,20", "dawn": "2026-07-01T03:00Z,21", "the brightest": "2026-07-01T11:00Z,1500"} {
		if _, err := readForecast([]byte(rows(row)), romeDeg, romeEastDeg); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// FuzzForecastFile: whatever the file holds, what is taken of it is light that the
// controller can reckon with.
func FuzzForecastFile(f *testing.F) {
	f.Add([]byte(goodForecast))
	f.Add([]byte("time,light\n0000-01-01T00:00Z,1\n9999-12-31T23:00Z,1\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		hours, err := readForecast(text, romeDeg, romeEastDeg)
		if err != nil {
			return
		}
		l, err := lightOf(hours, time.Time{}, time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC), false)
		if err != nil {
			return
		}
		for i, v := range l.WM2 {
			if v != -1 && !(v >= 0 && v <= mostLightWM2) {
				t.Fatalf("hour %d: %g W/m²", i, v)
			}
		}
	})
}

// setClock is a clock that a test sets.
type setClock struct {
	Clock
	wall control.Wall
}

func (c *setClock) Wall() control.Wall { return c.wall }

// TestForecastIsReadWhenItChanges: not before the clock is set, once for each change,
// and what can't be read leaves what was, and is logged once.
func TestForecastIsReadWhenItChanges(t *testing.T) {
	path := filepath.Join(t.TempDir(), "light.csv")
	four := time.Date(2026, 7, 1, 4, 0, 0, 0, time.UTC)
	clock := &setClock{wall: control.Wall{Time: four}}
	var log bytes.Buffer
	s := &site.Site{LatitudeDeg: romeDeg, LongitudeDeg: romeEastDeg}
	if f := forecastOf(s, clock, nil); f != nil || f.trouble() != "" {
		t.Error("a forecast without a file")
	}
	s.Forecast.File = path
	f := forecastOf(s, clock, slog.New(slog.NewTextHandler(&log, nil)))
	write := func(text string, made time.Time) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := os.Chtimes(path, made, made); err != nil {
			t.Fatal(err)
		}
	}
	expect := func(when string, lines int, from time.Time) *control.LightForecast {
		t.Helper()
		f.look()
		if told := f.trouble() != ""; told != (lines != 0 && strings.Contains(lastLine(log.String()), "can't be used")) {
			t.Errorf("%s: the trouble is %q", when, f.trouble())
		}
		if got := strings.Count(log.String(), "\n"); got != lines {
			t.Errorf("%s: %d lines in the log, want %d:\n%s", when, got, lines, log.String())
		}
		l := f.newest.Load()
		if (l == nil) != from.IsZero() || l != nil && !l.From.Equal(from) {
			t.Errorf("%s: from %v on, want %v", when, l, from)
		}
		return l
	}
	expect("no file", 1, time.Time{})
	expect("still none", 1, time.Time{})
	write(goodForecast, four)
	expect("the clock is not set", 1, time.Time{})
	clock.wall.Trusted = true
	first := expect("it is set", 2, four)
	clock.wall.Time = four.Add(time.Hour)
	if expect("not changed", 2, four) != first {
		t.Error("read again without a change")
	}
	write("time,light\nnonsense,1\n", four.Add(time.Minute))
	if expect("nonsense", 3, four) != first {
		t.Error("nonsense has taken the place of what was")
	}
	if !strings.Contains(log.String(), "line 2: ") {
		t.Errorf("the log does not say where: %s", log.String())
	}
	expect("nonsense still", 3, four)
	write(goodForecast, four.Add(2*time.Minute))
	second := expect("mended", 4, four.Add(time.Hour))
	if !second.Made.Equal(four.Add(2 * time.Minute)) {
		t.Errorf("made at %v", second.Made)
	}
	clock.wall.Time = four.Add(48*time.Hour + 2*time.Minute)
	expect("two days old", 4, four.Add(time.Hour))
	clock.wall.Time = clock.wall.Time.Add(time.Second)
	expect("older than that", 5, four.Add(time.Hour))
	expect("older still", 5, four.Add(time.Hour))
	if !strings.Contains(log.String(), "last changed on 2026-07-01 04:02") {
		t.Errorf("the log does not say how old: %s", log.String())
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if expect("taken away", 6, four.Add(time.Hour)) != second {
		t.Error("what was read is gone with the file")
	}
}

func lastLine(text string) string {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	return lines[len(lines)-1]
}

// TestForecastIsCheckedOnDemand: a file that is not there yet is no mistake.
func TestForecastIsCheckedOnDemand(t *testing.T) {
	s := &site.Site{LatitudeDeg: romeDeg, LongitudeDeg: romeEastDeg}
	now := time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC)
	if err := CheckForecast(s, now); err != nil {
		t.Error(err)
	}
	s.Forecast.File = filepath.Join(t.TempDir(), "light.csv")
	if err := CheckForecast(s, now); err != nil {
		t.Error(err)
	}
	for text, says := range map[string]string{goodForecast: "", "time,light\n1,1\n": s.Forecast.File + ": line 2: "} {
		if err := os.WriteFile(s.Forecast.File, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if err := CheckForecast(s, now); (err != nil) != (says != "") || err != nil && !strings.Contains(err.Error(), says) {
			t.Errorf("%v, want %q", err, says)
		}
	}
	if err := CheckForecast(s, now.AddDate(0, 0, 2)); err == nil {
		t.Error("what is wrong or past passes")
	}
}

// TestForecastReachesTheController in the tick, once for each change.
func TestForecastReachesTheController(t *testing.T) {
	c, err := control.New(control.Plan{Settings: control.DefaultSettings(), Systems: []control.System{{Name: "roof", Settings: control.DefaultSettings()}}})
	if err != nil {
		t.Fatal(err)
	}
	var none *forecast
	if none.pass(c, nil) != nil {
		t.Error("a forecast from nowhere")
	}
	f := &forecast{}
	if f.pass(c, nil) != nil {
		t.Error("a forecast before the first look")
	}
	l := &control.LightForecast{}
	f.newest.Store(l)
	if f.pass(c, nil) != l || f.pass(c, l) != l {
		t.Error("it is not passed on")
	}
}

// TestAStationHasTheForecastOfItsSite: what the site names is read and handed on.
func TestAStationHasTheForecastOfItsSite(t *testing.T) {
	path := filepath.Join(t.TempDir(), "light.csv")
	if err := os.WriteFile(path, []byte(goodForecast), 0o644); err != nil {
		t.Fatal(err)
	}
	o := buildOptions()
	o.hardware, _ = fakeHardware(&events{})
	s := testSite(t, t.TempDir(), oneWireProbes+relays+"\n[forecast]\nfile = \""+path+"\"\nlight = \"collectors\"\n")
	st, err := Build(s, NewLockstep(), o)
	if err != nil {
		t.Fatal(err)
	}
	defer endNow(t, st)
	named := false
	for _, service := range st.services {
		named = named || service.Name == "forecast"
	}
	if !named {
		t.Error("nobody looks at the file")
	}
	st.turn(0, 0)
	if st.foretold != nil {
		t.Error("foretold before the first look")
	}
	st.light.clock = &setClock{wall: control.Wall{Time: time.Date(2026, 7, 1, 4, 0, 0, 0, time.UTC), Trusted: true}}
	st.light.look()
	st.turn(time.Second, time.Second)
	if st.foretold == nil || st.foretold.WM2[0] != 112 || !st.foretold.OnCollectors {
		t.Errorf("the controller was handed %v", st.foretold)
	}
	if got := st.record(&control.Outcome{}).ForecastTrouble; got != "" {
		t.Errorf("the tick tells %q of a good file", got)
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	st.light.look()
	if got := st.record(&control.Outcome{}).ForecastTrouble; !strings.Contains(got, path) {
		t.Errorf("the tick tells %q of a file that is gone", got)
	}
}
