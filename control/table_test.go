package control

import (
	"encoding/json"
	"math"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// TestEverySettingHasOneRow: the table and the struct can't drift apart.
func TestEverySettingHasOneRow(t *testing.T) {
	var s Settings
	rows := map[uintptr]string{}
	names := map[string]bool{}
	for _, row := range SettingsTable() {
		at := reflect.ValueOf(row.field(&s)).Pointer()
		if rows[at] != "" {
			t.Errorf("%s and %s set the same field", row.Name, rows[at])
		}
		rows[at] = row.Name
		if names[row.Name] || row.Name != strings.ToLower(row.Name) {
			t.Errorf("%q is no name of its own in small letters", row.Name)
		}
		names[row.Name] = true
		if row.Group == "" || !strings.HasSuffix(row.Meaning, ".") || len(row.Meaning) < 30 {
			t.Errorf("%s: no group, or no meaning in a sentence", row.Name)
		}
		if !row.IsWindows() && !(row.Min <= row.Default && row.Default <= row.Max && row.Min < row.Max) {
			t.Errorf("%s: default %g does not lie within %g to %g", row.Name, row.Default, row.Min, row.Max)
		}
	}
	if n := reflect.TypeFor[Settings]().NumField(); len(rows) != n {
		t.Errorf("%d rows for %d fields", len(rows), n)
	}
}

func TestDefaultsAgreeWithEachOther(t *testing.T) {
	s := DefaultSettings()
	if problems := s.Check(); len(problems) != 0 {
		t.Errorf("defaults: %v", problems)
	}
}

func TestSettingsAgainstEachOther(t *testing.T) {
	for setting, spoil := range map[string]func(*Settings){
		"stop_difference":   func(s *Settings) { s.StopDifferenceK = 8 },
		"target_difference": func(s *Settings) { s.TargetDifferenceK = s.StopDifferenceK },
		"off_peak_stop":     func(s *Settings) { s.OffPeakWindows, s.OffPeakStopC = Windows{{0, 60}}, 68 },
		"heat_dump_start":   func(s *Settings) { s.HeatDumpStartC = 100 },
		"hygiene_hold":      func(s *Settings) { s.HygieneC, s.HygieneHold = 55, 80*time.Minute },
		"heater_stop":       func(s *Settings) { s.HeaterStopC = s.HeaterStartC },
		"heater_floor":      func(s *Settings) { s.HeaterFloorC = 46 },
		"restart_ceiling":   func(s *Settings) { s.TankLimitC, s.RestartCeilingC = 85, 100 },
		"jump_patience":     func(s *Settings) { s.JumpPatience = s.ReadingAgeLimit },
	} {
		s := DefaultSettings()
		spoil(&s)
		problems := s.Check()
		if setting == "restart_ceiling" { // so low a ceiling leaves the heat dump no room either
			problems = slices.DeleteFunc(problems, func(p Problem) bool { return p.Setting == "heat_dump_start" })
		}
		if len(problems) != 1 || problems[0].Setting != setting {
			t.Errorf("%s: problems %v", setting, problems)
		}
	}
	s := DefaultSettings()
	s.HeatDumpStartC = 84
	if p := s.Check(); len(p) != 1 || p[0].Setting != "heat_dump_start" {
		t.Errorf("a heat dump that ends below the tank limit: %v", p)
	}
	s = DefaultSettings()
	s.OffPeakWindows, s.OffPeakStopC = Windows{{0, 60}}, 50
	if p := s.Check(); len(p) != 1 || p[0].Setting != "off_peak_stop" {
		t.Errorf("cheap power heats less than dear: %v", p)
	}
	s = DefaultSettings()
	s.TankLimitC = 50
	if p := s.Check(); len(p) == 0 || p[0].Setting != "heater_stop" {
		t.Errorf("heater above the tank limit: %v", p)
	}
}

// TestAnAlwaysHotCirculationIsHotEnough: WHO (2007) asks for 50 °C in the return,
// and the pump waits until it is 5 K below its stop.
func TestAnAlwaysHotCirculationIsHotEnough(t *testing.T) {
	for _, tc := range []struct {
		windows Windows
		stopC   float64
		advised bool
	}{
		{Windows{{0, dayMinutes}}, 54.5, true},
		{Windows{{0, dayMinutes}}, 55, false},
		{Windows{{0, 600}}, 45, false},
	} {
		s := DefaultSettings()
		s.CirculationWindows, s.CirculationStopC = tc.windows, tc.stopC
		problems := s.Check()
		if advised := len(problems) == 1 && problems[0].Advice && problems[0].Setting == "circulation_stop"; advised != tc.advised {
			t.Errorf("%v, to %g °C: %v", tc.windows, tc.stopC, problems)
		}
		if tc.advised && !strings.Contains(problems[0].What, "codes ask for 50 °C") {
			t.Errorf("the advice does not name the published figure: %s", problems[0])
		}
	}
}

// TestAHeaterThatWaitsForTheSunHeatsEnough: to 2 K above what the taps want, when
// hot water is to be sure.
func TestAHeaterThatWaitsForTheSunHeatsEnough(t *testing.T) {
	for _, tc := range []struct {
		percent, stopC float64
		refused        bool
	}{{0, 41.5, false}, {90, 41.5, true}, {90, 42, false}} {
		s := DefaultSettings()
		s.TapC, s.HeaterFloorC, s.HeaterStartC = 40, 30, 35
		s.SuretyPercent, s.HeaterStopC = tc.percent, tc.stopC
		problems := s.Check()
		if refused := len(problems) == 1 && problems[0].Setting == "heater_stop"; refused != tc.refused || len(problems) > 1 {
			t.Errorf("sure by %g %%, to %g °C: %v", tc.percent, tc.stopC, problems)
		}
	}
}

func TestSetting(t *testing.T) {
	for _, tc := range []struct{ name, text, want string }{
		{"start_difference", "10 K", "10 K"},
		{"minimum_run", "3 min", "3 min"},
		{"minimum_run", "90 s", "90 s"},
		{"minimum_run", "0 s", "0 s"},
		{"heater_windows", "never", "never"},
		{"heater_windows", "always", "always"},
		{"heater_windows", "22:00 to 06:00, 12:00 to 13:30", "22:00 to 06:00, 12:00 to 13:30"},
		{"heater_start", "47.5 C", "47.5 °C"},
	} {
		row, ok := SettingNamed(tc.name)
		if !ok {
			t.Fatalf("no setting %s", tc.name)
		}
		var s Settings
		if err := row.Set(&s, tc.text); err != nil {
			t.Errorf("%s = %q: %v", tc.name, tc.text, err)
		}
		if got := row.Text(&s); got != tc.want {
			t.Errorf("%s = %q reads back as %q, want %q", tc.name, tc.text, got, tc.want)
		}
	}
	for _, tc := range []struct{ name, text, says string }{
		{"start_difference", "8", `"8" has no unit; a temperature difference is wanted, so write for example "8 K"`},
		{"start_difference", "8 °C", `"8 °C" is in "°C", but a temperature difference is wanted; write it in K`},
		{"start_difference", "80 K", `80 K is outside of what is allowed, 2 K to 30 K`},
		{"start_difference", "NaN K", `"NaN K" is no number with a unit; write for example "10 K"`},
		{"start_difference", "inf K", `"inf K" is no number with a unit; write for example "10 K"`},
		{"start_difference", "0x10 K", `"0x10 K" is in "x10 K", but a temperature difference is wanted; write it in K`},
		{"start_difference", "", `"" is no number with a unit; write for example "10 K"`},
		{"minimum_run", "-1 s", `-1 s is outside of what is allowed, 0 s to 30 min`},
		{"minimum_run", "3 minutes", `"3 minutes" is in "minutes", but a time span is wanted; write it in s, min, h, d`},
		{"heater_windows", "5-7", `"5-7" are no times of the day; write "05:30 to 07:00, 17:00 to 21:00", "always" or "never"`},
		{"heater_windows", "25:00 to 26:00", `"25:00 to 26:00" are no times of the day; write "05:30 to 07:00, 17:00 to 21:00", "always" or "never"`},
		{"heater_windows", "05:00 to 05:00", `the window "05:00 to 05:00" ends when it begins; write "always", "never", or another end`},
	} {
		row, _ := SettingNamed(tc.name)
		s := DefaultSettings()
		err := row.Set(&s, tc.text)
		if err == nil || err.Error() != tc.says {
			t.Errorf("%s = %q: %v\nwant %s", tc.name, tc.text, err, tc.says)
		}
		if !reflect.DeepEqual(s, DefaultSettings()) {
			t.Errorf("%s = %q: changed the settings", tc.name, tc.text)
		}
	}
}

func TestUnitsReadBackWhatTheyWrite(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		u := Unit(rapid.IntRange(0, int(numUnits)-1).Draw(rt, "unit"))
		v := rapid.Float64Range(-1e6, 1e6).Draw(rt, "value")
		back, err := u.Parse(u.Format(v))
		if err != nil || math.Abs(back-v) > 1e-9*math.Abs(v) {
			rt.Errorf("%q reads back as %g, %v", u.Format(v), back, err)
		}
	})
}

func FuzzUnits(f *testing.F) {
	for _, text := range []string{"8 K", "3min", "-4.5e3 W", "", "°C", "1e", "½ h", "١٢ K"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for u := range numUnits {
			if v, err := u.Parse(text); err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
				t.Errorf("%q is %g in %s", text, v, u)
			}
		}
	})
}

func TestWindows(t *testing.T) {
	w, err := ParseWindows("22:00 to 06:00, 12:00 to 13:30")
	if err != nil {
		t.Fatal(err)
	}
	for minute, want := range map[int]bool{0: true, 359: true, 360: false, 719: false, 720: true, 809: true, 810: false, 1319: false, 1320: true, 1439: true} {
		if w.Contain(minute) != want {
			t.Errorf("minute %d: %v", minute, !want)
		}
	}
	always, _ := ParseWindows("always")
	never, _ := ParseWindows("never")
	for m := range 1440 {
		if !always.Contain(m) || never.Contain(m) {
			t.Fatalf("minute %d: always %v, never %v", m, always.Contain(m), never.Contain(m))
		}
	}
}

func TestNextOpening(t *testing.T) {
	for _, c := range []struct {
		windows string
		minute  int
		want    string
	}{
		{"22:00 to 06:00, 12:00 to 13:30", 400, "12:00"}, {"22:00 to 06:00, 12:00 to 13:30", 810, "22:00"},
		{"22:00 to 06:00, 12:00 to 13:30", 719, "12:00"}, {"22:00 to 06:00, 12:00 to 13:30", 720, ""},
		{"05:30 to 07:00", 420, "05:30"}, {"05:30 to 07:00", 1439, "05:30"}, {"00:00 to 07:00", 1000, "00:00"},
		{"always", 0, ""}, {"never", 0, ""},
	} {
		w, err := ParseWindows(c.windows)
		if err != nil {
			t.Fatal(err)
		}
		if got := w.NextOpening(c.minute); got != c.want {
			t.Errorf("%s at minute %d: %q, want %q", c.windows, c.minute, got, c.want)
		}
	}
}

// TestWindowsThatCannotBeMeant: each with what is wrong.
func TestWindowsThatCannotBeMeant(t *testing.T) {
	for text, want := range map[string]string{
		"24:00 to 00:00":                 `ends when it begins; write "always"`,
		"05:00 to 05:00":                 `ends when it begins; write "always"`,
		"24:00 to 24:00":                 `ends when it begins; write "always"`,
		"24:00 to 06:00":                 `begins at the end of the day; write "00:00 to 06:00"`,
		"05:00 to 07:00, 06:59 to 08:00": `"05:00 to 07:00" and "06:59 to 08:00" overlap`,
		"06:00 to 06:30, 05:00 to 07:00": "overlap",
		"05:00 to 07:00, 06:00 to 06:30": "overlap",
		"22:00 to 02:00, 01:00 to 03:00": "overlap",
		"01:00 to 03:00, 22:00 to 01:01": "overlap",
		"05:00 to 07:00, 05:00 to 07:00": "overlap",
		"00:00 to 24:00, 05:00 to 06:00": "overlap",
		"00:00 to 12:00, 12:00 to 24:00": `leave nothing of the day out; write "always"`,
		"23:00 to 24:00, 00:00 to 23:00": "leave nothing of the day out",
		"05:00 to 07:00,":                "are no times of the day",
		"":                               "are no times of the day",
	} {
		if w, err := ParseWindows(text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, error %v, want %q", text, w, err, want)
		}
	}
	for _, text := range []string{"05:00 to 07:00, 07:00 to 08:00", "22:00 to 00:00, 00:00 to 21:59", "00:00 to 23:59", "20:00 to 24:00", "22:00 to 02:00, 02:00 to 03:00"} {
		if w, err := ParseWindows(text); err != nil || w.String() != text {
			t.Errorf("%q: %q, error %v", text, w, err)
		}
	}
	if w, err := ParseWindows("00:00 to 24:00"); err != nil || !w.Always() {
		t.Errorf("a whole day: %v, error %v", w, err)
	}
}

// TestWindowsOnClockChangeDays: on the night the clocks go back, an hour comes
// twice and counts twice; on the night they go forward, an hour is skipped.
func TestWindowsOnClockChangeDays(t *testing.T) {
	for _, tc := range []struct {
		zone  string
		day   time.Time
		hours float64
	}{
		{"Europe/Berlin", time.Date(2026, 10, 25, 0, 0, 0, 0, time.UTC), 2},
		{"Europe/Berlin", time.Date(2026, 3, 29, 0, 0, 0, 0, time.UTC), 0},
		{"Europe/Berlin", time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), 1},
		{"Australia/Lord_Howe", time.Date(2026, 4, 4, 13, 0, 0, 0, time.UTC), 1}, // half an hour back at 02:00: 01:30 to 02:00 comes twice
		{"Africa/Nairobi", time.Date(2026, 3, 29, 0, 0, 0, 0, time.UTC), 1},
	} {
		zone, err := time.LoadLocation(tc.zone)
		if err != nil {
			t.Fatal(err)
		}
		p := testPlan(1, eager)
		p.Zone = zone
		p.Systems[0].Settings.HeaterWindows = Windows{{2 * 60, 3 * 60}}
		c, err := New(p)
		if err != nil {
			t.Fatal(err)
		}
		readings := []Reading{{Value: 10}, {Value: 10}, {Value: 40}, {Value: 30}}
		y, m, d := tc.day.In(zone).Date()
		from := time.Date(y, m, d, 0, 0, 0, 0, zone)
		if tc.zone == "Australia/Lord_Howe" {
			from = time.Date(2026, 4, 5, 0, 0, 0, 0, zone)
		}
		on := 0
		for at := from; at.Before(from.Add(8 * time.Hour)); at = at.Add(10 * time.Second) {
			if c.Step(10*time.Second, Wall{at, true}, readings).Decisions[outHeater].On() {
				on++
			}
		}
		if hours := float64(on) / 360; math.Abs(hours-tc.hours) > 0.02 {
			t.Errorf("%s, %s: the window was open for %.2f h, want %g h", tc.zone, tc.day.Format(time.DateOnly), hours, tc.hours)
		}
	}
}

func TestEverySentenceReadsWell(t *testing.T) {
	keys := map[string]bool{}
	for w := range numWords {
		if keys[w.Key()] {
			t.Errorf("two sentences with the key %q", w.Key())
		}
		keys[w.Key()] = true
		text := because(w, 1, 2, 3).String()
		if w != SaysNothing && text == "" || strings.ContainsAny(text, "{}") {
			t.Errorf("%s: %q", w.Key(), text)
		}
		var back Reason
		data, err := json.Marshal(because(w, 1, 2.5, -3))
		if err == nil {
			err = json.Unmarshal(data, &back)
		}
		if err != nil || back != because(w, 1, 2.5, -3) {
			t.Errorf("%s: %v, read back as %v", w.Key(), err, back)
		}
	}
	if got := because(SaysTankFull, 70.04, 67).String(); got != "the tank is full: its hottest reading is 70.0 °C, and it must cool to 67.0 °C first" {
		t.Error(got)
	}
	if got := because(SaysMinimumRun, 91).String(); got != "runs on to its minimum run time, 2 min left" {
		t.Error(got)
	}
}

func TestSpansAreWrittenAsAPersonWould(t *testing.T) {
	for s, want := range map[float64]string{
		0: "0 s", 40: "40 s", 40.2: "41 s", 100: "2 min", seconds(2 * time.Minute): "2 min", 7200: "2.0 h", 7 * 86400: "7.0 days", 14 * 86400: "14.0 days",
	} {
		if got := figure(s, "time"); got != want {
			t.Errorf("%g s is written %q, want %q", s, got, want)
		}
	}
}

func TestEveryFindingSaysWhatToDo(t *testing.T) {
	keys := map[string]bool{}
	if n := len(findingsProbes) + len(findingsLoop) + len(findingsTank) + len(findingsBoard); n != int(numFindingKinds) {
		t.Errorf("%d rows for %d kinds: one is missing, or lies in two files", n, numFindingKinds)
	}
	for _, k := range FindingKinds() {
		row := findingTable[k]
		if row.key == "" || keys[row.key] {
			t.Errorf("kind %d: key %q is empty or taken", k, row.key)
		}
		keys[row.key] = true
		for what, text := range map[string]string{"likely": k.Likely(), "check": k.Check()} {
			if len(text) < 20 || !strings.HasSuffix(text, ".") {
				t.Errorf("%s: %s is %q", k, what, text)
			}
		}
		if k.Title() == "" || row.raiseAfter <= 0 || row.clearAfter <= 0 {
			t.Errorf("%s: no title, or it would flap", k)
		}
	}
}
