package site

import (
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sunstoker/control"
)

// TestOutputsOfSoundFiles: of a file that is sound nothing is lost.
func TestOutputsOfSoundFiles(t *testing.T) {
	files, err := filepath.Glob("../deploy/sites/*.toml")
	good, goodErr := filepath.Glob("testdata/good/*.toml")
	files = append(files, good...)
	if err != nil || goodErr != nil || len(files) < 6 {
		t.Fatalf("%d files, %v, %v", len(files), err, goodErr)
	}
	for _, file := range files {
		whole, err := Load(file)
		if err != nil {
			t.Fatal(err)
		}
		s, lost := LoadOutputs(file)
		if len(lost) > 0 || !reflect.DeepEqual(s.Outputs, whole.Outputs) || s.Guard != whole.Guard || s.StateFolder != whole.StateFolder || len(s.Systems) != len(whole.Systems) {
			t.Errorf("%s: lost %q, outputs %+v, want %+v", file, lost, s.Outputs, whole.Outputs)
		}
	}
}

const twoOutputs = `
[daemon]
state_folder = "/srv/memory"
guard = "/run/guard"
[[system]]
name = "roof"
[system.tank]
volume = "200 l"
[system.output.loop_pump]
kind = "relay"
chip = "gpiochip0"
line = "GPIO17"
[system.output.backup_heater]
kind = "relay"
chip = "gpiochip0"
line = "GPIO27"
without_guard = true
`

// TestOutputsOfSpoiltFiles: what can be relied on is found, and what can't is told.
func TestOutputsOfSpoiltFiles(t *testing.T) {
	const both = "line GPIO17 of gpiochip0, line GPIO27 of gpiochip0"
	const pump = "line GPIO17 of gpiochip0"
	for name, c := range map[string]struct{ old, new, want, lost string }{
		"only what else is needed is missing": {"", "", both, ""},
		"a value without quotes":              {`volume = "200 l"`, `volume = 200 l`, both, "line 8"},
		"a broken header, with its keys":      {`[system.output.backup_heater]`, `[system.output.backup_heater`, pump, "line 13"},
		"a table begun twice":                 {`[system.output.backup_heater]`, `[system.output.loop_pump]`, pump, "line 13"},
		"a key written twice":                 {`line = "GPIO27"`, "line = \"GPIO27\"\nline = \"GPIO22\"", both, "line 17"},
		"a line that is none":                 {`line = "GPIO27"`, `line = ""`, pump, "system.output.backup_heater in line 13"},
		"a kind that is none":                 {"kind = \"relay\"\nchip = \"gpiochip0\"\nline = \"GPIO27\"", `kind = "valve"`, pump, "system.output.backup_heater in line 13"},
		"a name that is none":                 {`backup_heater]`, `backup_heatr]`, pump, "system.output.backup_heatr in line 13"},
		"no table at all":                     {`[system.output.backup_heater]`, "[system.output]\nbackup_heater = 3\n[nothing]", pump, "system.output.backup_heater in line 14"},
		"what switching on would need":        {`without_guard = true`, `without_guard = "perhaps"`, both, ""},
		"a sign of another encoding":          {`name = "roof"`, "name = \"ro\xb0f\"", both, ""},
		"UTF-16":                              {twoOutputs, "\xff\xfe[\x00", "", "line 1"},
	} {
		s, lost := ParseOutputs("x.toml", []byte(strings.Replace(twoOutputs, c.old, c.new, 1)))
		var places []string
		for _, o := range s.Outputs {
			places = append(places, o.Where())
		}
		if got := strings.Join(places, ", "); got != c.want || strings.Join(lost, ", ") != c.lost {
			t.Errorf("%s: %s, lost %q; want %s, lost %q", name, got, lost, c.want, c.lost)
		}
		if want := c.old != twoOutputs; want != (s.StateFolder == "/srv/memory" && s.Guard == "/run/guard") {
			t.Errorf("%s: state folder %s, guard %s", name, s.StateFolder, s.Guard)
		}
	}
}

func TestOutputsOfAFileThatIsNotThere(t *testing.T) {
	s, lost := LoadOutputs(filepath.Join(t.TempDir(), "none.toml"))
	if len(s.Outputs) > 0 || len(lost) != 1 || s.StateFolder != "/var/lib/sunstoker" {
		t.Errorf("%+v, lost %q", s, lost)
	}
}

// TestEveryKeyOfAnOutputIsWeighed: a new key of an output says where it is, or is for
// switching on alone.
func TestEveryKeyOfAnOutputIsWeighed(t *testing.T) {
	forOn := []string{"kind", "pulses", "without_guard", "full", "drops_when_silent"}
	for _, actuator := range control.Actuators() {
		for _, k := range keysOfOutput(actuator) {
			weighed := slices.Contains(forOn, k.name)
			for _, kind := range k.only {
				weighed = weighed || slices.Contains(whereKeys[kind], k.name)
			}
			if !weighed {
				t.Errorf("%s: is %s needed to switch off?", actuator, k.name)
			}
		}
	}
	for _, kind := range pumpKeys[0].choices {
		if _, there := whereKeys[kind]; !there {
			t.Errorf("where is an output of the kind %q?", kind)
		}
	}
}

// FuzzParseOutputs wants of any text outputs that each are somewhere; what a sound
// file names is found.
func FuzzParseOutputs(f *testing.F) {
	f.Add([]byte(twoOutputs))
	f.Add([]byte(Starter()))
	f.Fuzz(func(t *testing.T, data []byte) { checkParseOutputs(t, data) })
}

// TestOutputsOfMangledFiles cuts lines of a file short.
func TestOutputsOfMangledFiles(t *testing.T) {
	text, err := os.ReadFile("../deploy/sites/two-tanks.toml")
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(text), "\n")
	rapid.Check(t, func(t *rapid.T) {
		mangled := slices.Clone(lines)
		for range rapid.IntRange(1, 6).Draw(t, "edits") {
			i := rapid.IntRange(0, len(mangled)-1).Draw(t, "line")
			mangled[i] = mangled[i][:rapid.IntRange(0, len(mangled[i])).Draw(t, "kept")]
		}
		checkParseOutputs(t, []byte(strings.Join(mangled, "\n")))
	})
}

func checkParseOutputs(t interface {
	Errorf(format string, args ...any)
}, data []byte) {
	s, lost := ParseOutputs("x.toml", data)
	for _, o := range s.Outputs {
		if o.Where() == "" || o.System >= len(s.Systems) {
			t.Errorf("an output that is nowhere: %+v", o)
		}
	}
	if !strings.HasPrefix(s.StateFolder, "/") {
		t.Errorf("the state folder is %q", s.StateFolder)
	}
	if whole, err := Parse("x.toml", data); err == nil && (len(lost) > 0 || !reflect.DeepEqual(s.Outputs, whole.Outputs)) {
		t.Errorf("lost %q of a sound file", lost)
	}
}
