package explain

import (
	"context"
	"flag"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner/paper"
	"sunstoker/planner/paper/papertest"
	"sunstoker/planner/recorded"
	"sunstoker/site"
)

var update = flag.Bool("update", false, "write the expected answers anew")

// answer answers a question about a house.
func answer(t *testing.T, q Question) string {
	t.Helper()
	q.Saved = func(s *site.Site) (*site.Site, error) { return s, nil }
	var out strings.Builder
	if err := Answer(context.Background(), q, &out); err != nil {
		t.Fatal(err)
	}
	return strings.ReplaceAll(out.String(), filepath.Dir(q.Site)+"/", "")
}

func golden(t *testing.T, name, got string) {
	t.Helper()
	papertest.Kept(t, filepath.Join("testdata", name), got, *update)
}

func house(t *testing.T, name string, spans ...recorded.Span) *site.Site {
	t.Helper()
	s, err := recorded.House(t.TempDir(), name)
	if err == nil {
		for i := range spans {
			spans[i].From = spans[i].From.In(s.Zone)
		}
		err = recorded.Write(s, spans...)
	}
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestMinutesOfWinter looks at a house below a pass: a sunny noon, the hour that
// comes twice, a probe that was silent, and a time that was not watched.
func TestMinutesOfWinter(t *testing.T) {
	s := house(t, recorded.Winter,
		recorded.Span{From: time.Date(2026, time.September, 9, 22, 0, 0, 0, time.UTC), Length: 36 * time.Hour, Seed: 3, Faults: []string{"probe missing at 14h for 4h probe tank bottom"}},
		recorded.Span{From: time.Date(2026, time.October, 24, 22, 0, 0, 0, time.UTC), Length: 12 * time.Hour, Seed: 4})
	for name, q := range map[string]Question{
		"noon": {At: "2026-09-10 11:40"}, "silent-probe": {At: "2026-09-10 15:10"}, "twice": {At: "2026-10-25 02:30"},
		"gap": {At: "2026-10-01 12:00"}, "before": {At: "2025-12-31T23:00:00Z"}, "newest": {}, "finding": {Name: "probe silent"},
		"never-found": {Name: "stagnation"}, "setting": {Name: "stop-difference"}, "windows": {Name: "heater_windows"},
	} {
		q.Site = s.File
		golden(t, "winter-"+name+".txt", answer(t, q))
	}
}

// TestMinutesOfHighland looks at two systems whose heaters are all there is to
// switch.
func TestMinutesOfHighland(t *testing.T) {
	s := house(t, recorded.Highland, recorded.Span{
		From: time.Date(2026, time.March, 3, 5, 0, 0, 0, time.UTC), Length: 24 * time.Hour, Seed: 5, Faults: []string{"heater element open at 1h for 23h system kitchen"}})
	for name, q := range map[string]Question{"evening": {At: "2026-03-03 18:20"}, "setting": {Name: "tank_limit"}, "finding": {Name: "heater_thermostat_low", At: "2026-03-03 20:00"}} {
		q.Site = s.File
		golden(t, "highland-"+name+".txt", answer(t, q))
	}
}

// TestWithoutMinutes: where minutes are no longer kept, quarter hours stand for them.
func TestWithoutMinutes(t *testing.T) {
	s := house(t, recorded.Winter,
		recorded.Span{From: time.Date(2026, time.July, 9, 22, 0, 0, 0, time.UTC), Length: 2 * time.Hour, Seed: 3},
		recorded.Span{From: time.Date(2026, time.December, 1, 22, 0, 0, 0, time.UTC), Length: 2 * time.Hour, Seed: 3})
	if _, _, err := history.Shrink(context.Background(), s.History.Folder, history.Shrunk{MinutesFor: 24 * time.Hour}); err != nil {
		t.Fatal(err)
	}
	golden(t, "winter-quarter-hour.txt", answer(t, Question{Site: s.File, At: "2026-07-10 01:10"}))
}

func TestWithoutHistory(t *testing.T) {
	s := house(t, recorded.Winter)
	if got := answer(t, Question{Site: s.File, Name: "stagnation"}); !strings.Contains(got, "there is no history yet") {
		t.Errorf("%s\nwant it to say that there is no history", got)
	}
}

// TestBadQuestions: each says what to ask instead.
func TestBadQuestions(t *testing.T) {
	s := house(t, recorded.Winter, recorded.Span{From: time.Date(2026, time.July, 9, 22, 0, 0, 0, time.UTC), Length: time.Hour})
	for want, q := range map[string]Question{
		"explain wants to know what": {},
		`"heater_strat" is neither a finding nor a setting; the nearest name is heater_start`: {Site: "heater_strat"},
		`"weather" is neither a finding nor a setting; --names lists them`:                    {Site: s.File, Name: "weather"},
		"--at needs the site file before the name":                                            {Site: "stagnation", At: "2026-07-10 01:00"},
		`"2026-07-10" is a day; give a minute of it, such as "2026-07-10 06:40"`:              {Site: s.File, At: "2026-07-10"},
		`"yesterday" is no minute; write such as "2026-11-25 06:40"`:                          {Site: s.File, At: "yesterday"},
		"they went forward over it":                                                           {Site: s.File, At: "2026-03-29 02:30"},
	} {
		err := Answer(context.Background(), q, &strings.Builder{})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", q, err, want)
		}
		if _, is := err.(*Misasked); !is {
			t.Errorf("%+v: %T, want it to be told as a question that was asked wrongly", q, err)
		}
	}
}

// TestNames: no finding has the name of a setting, and all are found by their
// words too.
func TestNames(t *testing.T) {
	known := map[string]bool{}
	for _, name := range allNames() {
		if known[name] {
			t.Errorf("%s names two things", name)
		}
		known[name] = true
		if _, err := Find(strings.ReplaceAll(name, "_", " ")); err != nil {
			t.Error(err)
		}
	}
	var out strings.Builder
	if err := Names(&out); err != nil || strings.Count(out.String(), "\n") < len(known) {
		t.Errorf("%v, %s", err, out.String())
	}
}

// TestEverythingCanBeExplained goes through all findings and settings.
func TestEverythingCanBeExplained(t *testing.T) {
	s := house(t, recorded.Winter)
	for _, name := range allNames() {
		text := answer(t, Question{Site: s.File, Name: name})
		for line := range strings.SplitSeq(text, "\n") {
			if len([]rune(line)) > paper.Columns+20 {
				t.Errorf("%s: a line of %d letters: %s", name, len([]rune(line)), line)
			}
		}
		if row, is := control.SettingNamed(name); is && !strings.Contains(text, row.DefaultText()) {
			t.Errorf("%s: its default, %s, is not told:\n%s", name, row.DefaultText(), text)
		}
		if kind, is := kindNamed(name); is && !strings.Contains(strings.Join(strings.Fields(text), " "), strings.Join(strings.Fields(kind.Check()), " ")) {
			t.Errorf("%s: what to check is not told:\n%s", name, text)
		}
	}
}

func TestInstants(t *testing.T) {
	zurich, err := time.LoadLocation("Europe/Zurich")
	if err != nil {
		t.Fatal(err)
	}
	for text, want := range map[string][]string{
		"2026-11-25 06:40":     {"2026-11-25T05:40:00Z"},
		"2026-11-25T06:40:30":  {"2026-11-25T05:40:30Z"},
		"2026-11-25T06:40:00Z": {"2026-11-25T06:40:00Z"},
		"2026-10-25 01:59":     {"2026-10-24T23:59:00Z"},
		"2026-10-25 02:00":     {"2026-10-25T00:00:00Z", "2026-10-25T01:00:00Z"},
		"2026-10-25 02:59":     {"2026-10-25T00:59:00Z", "2026-10-25T01:59:00Z"},
		"2026-10-25 03:00":     {"2026-10-25T02:00:00Z"},
		"2026-03-29 01:59":     {"2026-03-29T00:59:00Z"},
		"2026-03-29 03:00":     {"2026-03-29T01:00:00Z"},
	} {
		got, err := Instants(text, zurich)
		var told []string
		for _, at := range got {
			told = append(told, at.UTC().Format(time.RFC3339))
		}
		if err != nil || strings.Join(told, " ") != strings.Join(want, " ") {
			t.Errorf("%s: %v, %v, want %v", text, told, err, want)
		}
	}
}
