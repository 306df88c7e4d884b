package replay

import (
	"bytes"
	"context"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/planner/recorded"
	"sunstoker/site"
)

var update = flag.Bool("update", false, "write the expected answers anew")

// houses are the invented ones with two days of a history, made once; in one of
// them a probe is missing for 6 h.
var houses = map[string]func() (*site.Site, error){
	recorded.Winter: lived(recorded.Winter), recorded.Highland: lived(recorded.Highland),
	"silent": lived(recorded.Winter, "probe missing at 12h for 6h probe tank bottom"),
}

func lived(name string, faults ...string) func() (*site.Site, error) {
	return sync.OnceValues(func() (*site.Site, error) {
		folder, err := os.MkdirTemp("", "replay")
		if err != nil {
			return nil, err
		}
		folders = append(folders, folder)
		s, err := recorded.House(folder, name)
		if err == nil {
			err = recorded.Write(s, recorded.Span{From: time.Date(2026, 5, 10, 0, 0, 0, 0, s.Zone), Length: 48 * time.Hour, Seed: 3, Faults: faults})
		}
		return s, err
	})
}

var folders []string // to be removed at the end

func TestMain(m *testing.M) {
	code := m.Run()
	for _, folder := range folders {
		os.RemoveAll(folder)
	}
	os.Exit(code)
}

func house(t *testing.T, name string) *site.Site {
	t.Helper()
	s, err := houses[name]()
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func recordOf(t *testing.T, s *site.Site) *Record {
	t.Helper()
	r, err := read(context.Background(), s, &Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func TestAnswers(t *testing.T) {
	for name, o := range map[string]Options{
		recorded.Winter:   {Set: []string{"heater_stop = 48 °C", "start_difference = 12 K"}, Seed: 1},
		recorded.Highland: {Set: []string{`heater_windows = "19:00 to 21:00"`}, Seed: 1},
	} {
		var out strings.Builder
		if err := Replay(context.Background(), house(t, name), o, &out); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("testdata", name+".txt")
		if *update {
			if err := os.WriteFile(path, []byte(out.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if want, err := os.ReadFile(path); err != nil || out.String() != string(want) {
			t.Errorf("%s: %v: -update writes it anew; it is now\n%s", name, err, out.String())
		}
	}
}

// TestTheSameSettingsDoTheSame: a replay of a record under the settings that made
// it does what was done, but for what a controller needs to come to itself and for
// minutes being means.
func TestTheSameSettingsDoTheSame(t *testing.T) {
	for _, name := range []string{recorded.Winter, recorded.Highland} {
		s := house(t, name)
		r := recordOf(t, s)
		c, err := Decide(s.Plan, r)
		if err != nil {
			t.Fatal(err)
		}
		for i := range s.Plan.Outputs {
			least := 0.97
			if s.Plan.Outputs[i].Actuator == control.LoopPump {
				least = 0.85 // its runs in a weak sun are as short as a minute
			}
			if share := agreement(&s.Plan.Outputs[i], r.levels[i], c.levels[i]); !(share > least) {
				t.Errorf("%s, %s: alike in %.1f %% of the minutes", name, s.Plan.Outputs[i].Actuator, 100*share)
			}
		}
	}
}

// TestHistoryAndItsExportAreOneRecord reads both.
func TestHistoryAndItsExportAreOneRecord(t *testing.T) {
	s := house(t, "silent")
	r := recordOf(t, s)
	h, err := history.Open(s.History.Folder)
	if err != nil {
		t.Fatal(err)
	}
	defer h.Close()
	var table bytes.Buffer
	all := history.Exported{What: history.ExportMinutes, To: time.Unix(1<<40, 0)}
	if err := h.Export(context.Background(), &table, all); err != nil {
		t.Fatal(err)
	}
	c, err := FromCSV(&table, s, time.Unix(0, 0), time.Unix(1<<40, 0))
	if err != nil {
		t.Fatal(err)
	}
	if r.minutes() != 48*60 || c.minutes() != r.minutes() {
		t.Fatalf("%d and %d minutes", r.minutes(), c.minutes())
	}
	missing := 0
	for k := range r.readings {
		for i := range r.readings[k] {
			a, b := r.readings[k][i], c.readings[k][i]
			if math.IsNaN(a) {
				missing++
			}
			if math.IsNaN(a) != math.IsNaN(b) || math.Abs(a-b) > 0.006 {
				t.Fatalf("%s, minute %d: %g and %g", s.Plan.Probes[k].Place, i, a, b)
			}
		}
	}
	if missing < 350 || missing > 370 {
		t.Errorf("%d minutes without a value, want those of 6 h", missing)
	}
}

// TestGaps: over a gap the controller starts anew, and no line is drawn over it.
func TestGaps(t *testing.T) {
	r := &Record{starts: []int64{0, 60, 3600}, readings: [][]float64{{10, 20, 50}}}
	for _, c := range []struct {
		i    int
		at   time.Duration
		want float64
	}{{0, 0, 10}, {0, 30 * time.Second, 10}, {0, 50 * time.Second, 10 + 10./3}, {1, 0, 15}, {1, 50 * time.Second, 20}, {2, 0, 50}} {
		if got := r.reading(0, c.i, c.at).Value; math.Abs(got-c.want) > 1e-9 {
			t.Errorf("minute %d at %v: %g, want %g", c.i, c.at, got, c.want)
		}
	}
	if gap := r.gapBefore(2); gap != 58*time.Minute {
		t.Errorf("a gap of %v, want 58 min", gap)
	}
}

func TestDifferences(t *testing.T) {
	o := &control.Output{Actuator: control.BackupHeater}
	course := func(levels ...float64) *Course {
		n := len(levels)
		return &Course{levels: [][]float64{levels}, ranks: [][]control.Rank{make([]control.Rank, n)}, says: [][]control.Reason{make([]control.Reason, n)}}
	}
	r := &Record{starts: []int64{0, 60, 120, 180, 240, 300, 360, 420, 480}}
	now, other := course(0, 0, 0, 0, 0, 0, 1, 1, 1), course(0, 1, 0.9, 0, 1, 0, 1, 0, 1)
	list := differences(r, o, 0, now, other)
	if len(list) != 2 || list[0].from.Unix() != 60 || list[0].to.Unix() != 300 || list[0].level != 1 || list[1].from.Unix() != 420 || list[1].level != 0 {
		t.Errorf("%+v", list)
	}
	if u := useOf(o, other.levels[0]); math.Abs(u.hours-4.9/60) > 1e-9 || u.starts != 4 {
		t.Errorf("%+v", u)
	}
}

// TestBadQuestions: each says what to ask instead.
func TestBadQuestions(t *testing.T) {
	s := house(t, recorded.Winter)
	folder := t.TempDir()
	file := func(text string) string {
		path := filepath.Join(folder, "record.csv")
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return path
	}
	set := []string{"heater_stop = 48 °C"}
	for want, o := range map[string]Options{
		"replay wants other settings to try":                              {},
		`--set "heater_stop": write it as "NAME = VALUE"`:                 {Set: []string{"heater_stop"}},
		"there is no setting heater_stp; the nearest name is heater_stop": {Set: []string{"heater_stp = 48 °C"}},
		`"48" has no unit`: {Set: []string{"heater_stop = 48"}},
		"the site can't have these settings: the heater would stop at 45": {Set: []string{"heater_stop = 45 °C"}},
		`--from: "soon" is no minute`:                                     {Set: set, From: "soon"},
		"--from must lie before --to":                                     {Set: set, From: "2026-06-02", To: "2026-06-01"},
		"--from: the history ends before, at ":                            {Set: set, From: "2027-06-02"},
		"heater_stop is given twice":                                      {Set: []string{"heater_stop = 48 °C", "heater_stop = 49 °C"}},
		"nothing was watched from 2026-04-01 00:00 to 2026-04-02 00:00":   {Set: set, From: "2026-04-01", To: "2026-04-02"},
		"a replay of 130 days is too long":                                {Set: set, From: "2026-01-02"},
		"the record can't be read: open /nowhere":                         {Set: set, CSV: "/nowhere"},
		"this is a folder; name a file that history export has written":   {Set: set, CSV: folder},
		"--fit takes the weather that there was":                          {Set: set, Fit: true},
		`there is no weather file "/nowhere"`:                             {Set: set, Weather: "/nowhere"},
	} {
		check(t, s, o, want)
	}
	for text, want := range map[string]string{
		"":                 "the file is empty: give one that",
		"time_utc,a\n1\n":  "line 2 holds 1 of the 2 columns that line 1 names",
		"a,b\n1,2\n":       "line 1: there is no column time_utc",
		"time_utc\nsoon\n": `line 2: "soon" is no minute in UTC`,
		"time_utc,roof tank_top °C mean\n2026-05-10T00:00:00Z,warm\n": `line 2: "warm" is no number`,
		"time_utc\n2026-05-10T00:01:00Z\n2026-05-10T00:00:00Z\n":      "line 3: 2026-05-10T00:00:00Z does not come after the line before",
		"time_utc\n2026-01-01T00:00:00Z\n2026-06-01T00:00:00Z\n":      "a replay of 151 days is too long",
		"time_utc,a\n2026-05-10T00:00:00Z,1\n":                        "none of the probes of this site file has a value in the record",
	} {
		check(t, s, Options{Set: set, CSV: file(text)}, want)
	}
}

func check(t *testing.T, s *site.Site, o Options, want string) {
	t.Helper()
	if err := Replay(context.Background(), s, o, &strings.Builder{}); err == nil || !strings.Contains(err.Error(), want) {
		t.Errorf("%+v: %v, want %q", o, err, want)
	}
}
