package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"sunstoker/planner/recorded"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

var update = flag.Bool("update", false, "write anew what the tools of the installer say; read the difference before you keep it")

// stop is a house on the walk: where its story begins, and what is asked on the way.
type stop struct {
	name    string
	site    string      // its file
	edits   []site.Edit // to it
	spans   []recorded.Span
	replay  []string // what is asked of each command, behind the site
	minute  string
	finding string
	setting string
}

func stops(t *testing.T) []stop {
	t.Helper()
	span := func(zone string, month time.Month, days int, faults ...string) recorded.Span {
		at, err := time.LoadLocation(zone)
		if err != nil {
			t.Fatal(err)
		}
		return recorded.Span{From: time.Date(2026, month, 10, 0, 0, 0, 0, at), Length: time.Duration(days) * 24 * time.Hour, Faults: faults, Seed: uint64(month)}
	}
	spring := span("Europe/Rome", time.May, 10, "probe missing at 14h for 2h probe tank bottom")
	spring.Sky = weather.NorthItaly()
	return []stop{
		{name: "demo", site: "../../station/demo/site.toml", edits: []site.Edit{site.SetKey("household", "holidays", `"11 May to 31 May"`)},
			spans:  []recorded.Span{span("Europe/Rome", time.February, 1), spring},
			replay: []string{"--set", "heater_stop = 50 °C", "--from", "2026-05-11", "--fit", "--weather", "north-italy"},
			minute: "2026-05-10 12:30", finding: "probe_silent", setting: "heater_stop"},
		{name: "highland", site: "../../planner/sizing/testdata/highland.site",
			spans:  []recorded.Span{span("America/Guayaquil", time.February, 1), span("America/Guayaquil", time.June, 1)},
			replay: []string{"--set", `heater_windows = "16:30 to 20:30"`},
			minute: "2026-06-10 18:30", finding: "heater_gives_nothing", setting: "heater_windows"},
		{name: "winter", site: "../../planner/sizing/testdata/winter.site",
			spans:  []recorded.Span{span("Europe/Zurich", time.January, 1), span("Europe/Zurich", time.March, 1)},
			replay: []string{"--set", "stop_difference = 2 K"},
			minute: "2026-03-10 11:15", finding: "stagnation", setting: "stop_difference"},
	}
}

// TestWalk goes through the tools of an installer as somebody would who meets them
// for the first time, with three invented houses: the one of the demo, one in the
// highlands near the equator with two stores of loop fluid and natural circulation,
// and one in hard winters with a pumped loop, both as "size" has proposed them (its
// own outputs for these two lie in its room). The house is handed over, lives for a
// few days, and all that is said on the way is held against what was read once.
func TestWalk(t *testing.T) {
	if testing.Short() {
		t.Skip("long simulations")
	}
	t.Run("size", func(t *testing.T) {
		t.Parallel()
		w := &walker{t: t, notes: filepath.Join("testdata", "walk", "demo"), folder: t.TempDir()}
		house := w.in("house.toml")
		w.say("size", "size", filepath.Join(w.notes, "wish.toml"), "--step", "30s", "--site", house, "--report", w.in("size.html"), "--csv", w.in("size.csv"))
		w.page("size.html")
		w.say("check", "check", house)
	})
	for _, s := range stops(t) {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			w := &walker{t: t, notes: filepath.Join("testdata", "walk", s.name), folder: t.TempDir()}
			house := inhabited(t, &s, w.folder)
			w.say("handover", "handover", house, "--practise", "--answers", filepath.Join(w.notes, "answers"), "--report", w.in("handover.html"))
			w.page("handover.html")
			w.say("replay", append([]string{"replay", house}, s.replay...)...)
			w.say("explain-minute", "explain", house, "--at", s.minute)
			w.say("explain-finding", "explain", house, s.finding)
			w.say("explain-setting", "explain", house, s.setting)
			w.say("letter", "letter", house, "--report", w.in("letter.html"))
			w.page("letter.html")
		})
	}
}

// walker calls the program, and keeps its files in a folder.
type walker struct {
	t             *testing.T
	notes, folder string
}

func (w *walker) in(name string) string { return filepath.Join(w.folder, name) }

// say runs a command, which must have no trouble, and holds what it says against
// what was read once.
func (w *walker) say(name string, args ...string) {
	w.t.Helper()
	var stdout, stderr bytes.Buffer
	if code := run(w.t.Context(), args, strings.NewReader(""), &stdout, &stderr); code != 0 || stderr.Len() > 0 {
		w.t.Fatalf("%v ends with %d: %s", args, code, &stderr)
	}
	got := strings.ReplaceAll(stdout.String(), w.folder, "FOLDER")
	path := filepath.Join(w.notes, name+".txt")
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			w.t.Fatal(err)
		}
	}
	if want, err := os.ReadFile(path); err != nil || got != string(want) {
		w.t.Errorf("%s differs (%v); run with -update and read the difference. It is now:\n%.3000s", path, err, got)
	}
}

// page sees that a report was written.
func (w *walker) page(name string) {
	w.t.Helper()
	if text, err := os.ReadFile(w.in(name)); err != nil || !bytes.HasPrefix(text, []byte("<!doctype html>")) {
		w.t.Errorf("%s is no page: %v", name, err)
	}
}

// inhabited is the site file of a house with a history, both in a folder.
func inhabited(t *testing.T, house *stop, folder string) string {
	t.Helper()
	text, err := os.ReadFile(house.site)
	if err == nil {
		text, err = site.Edited(text, append(house.edits, site.SetKey("daemon", "state_folder", strconv.Quote(folder)))...)
	}
	file := filepath.Join(folder, "lived.toml")
	if err == nil {
		err = os.WriteFile(file, text, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	s, err := site.Load(file)
	if err == nil {
		err = recorded.Write(s, house.spans...)
	}
	if err != nil {
		t.Fatal(err)
	}
	return file
}
