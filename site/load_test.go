package site

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestLoadSaysWhyItCannot(t *testing.T) {
	folder := t.TempDir()
	large := filepath.Join(folder, "large.toml")
	if err := os.WriteFile(large, bytes.Repeat([]byte("# long\n"), 10<<20/7), 0o600); err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]string{
		filepath.Join(folder, "none.toml"): "there is no such file; check the path",
		folder:                             "this is a folder; name the site file",
		"/dev/null":                        "this is a device or a pipe; name a plain file",
		large:                              "the file is larger than 1 MB; ",
	} {
		_, err := Load(path)
		var mistakes *Mistakes
		if !errors.As(err, &mistakes) || len(mistakes.List) != 1 || !strings.HasPrefix(err.Error(), path+": "+want) {
			t.Errorf("%s: got %v, want %q", path, err, want)
		}
	}
}

func TestTextOfOtherEditors(t *testing.T) {
	unix := Starter()
	for name, text := range map[string]string{
		"Windows line ends":         strings.ReplaceAll(unix, "\n", "\r\n"),
		"byte order mark":           "\xef\xbb\xbf" + unix,
		"no line end at the end":    strings.TrimRight(unix, "\n"),
		"both, and spaces in front": "\xef\xbb\xbf" + strings.ReplaceAll(strings.ReplaceAll(unix, "\n", "\r\n"), "area =", "  \tarea  ="),
	} {
		s, err := Parse("x.toml", []byte(text))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if s.Systems[0].Collector.AreaM2 != 4 {
			t.Errorf("%s: the collector has %g m²", name, s.Systems[0].Collector.AreaM2)
		}
	}
	// Lines are counted the same with all line ends and marks.
	bad := strings.ReplaceAll("\xef\xbb\xbf"+unix, "area =", "aera =")
	_, err := Parse("x.toml", []byte(strings.ReplaceAll(bad, "\n", "\r\n")))
	line := strings.Count(unix[:strings.Index(unix, "area =")], "\n") + 1
	var mistakes *Mistakes
	if !errors.As(err, &mistakes) || mistakes.List[0].Line != line || mistakes.List[0].Column != 1 {
		t.Errorf("want line %d, got %v", line, err)
	}
}

func TestOtherWaysToWriteToml(t *testing.T) {
	text := `name = 'Inline house'
place = { latitude = "45 °", longitude = "8 °", altitude = "250 m", time_zone = "Europe/Rome", coldest = "-12 °C" }
probe.outdoor_air.kind = "simulated"

[[system]]
name = "roof"
loop = "natural"
fluid = "propylene glycol"
antifreeze = "45%"
collector = { area = "4 m2", tilt = "40 deg", direction = "180°", optical_efficiency = "78 %", loss = "3.8 W/(m2 K)", loss_growth = "0.01 W/(m2 K2)" }
tank = { volume = "200 L", loss = "1.9 W/K" }
`
	s, err := Parse("inline.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	if s.Systems[0].AntifreezePercent != 45 || s.Systems[0].Collector.DirectionDeg != 180 || s.Probes[0].FileLine != 3 {
		t.Errorf("got %+v", s)
	}
	_, err = Parse("inline.toml", []byte(strings.Replace(text, `tilt = "40 deg"`, `tilt = "140 deg"`, 1)))
	var mistakes *Mistakes
	if !errors.As(err, &mistakes) || mistakes.List[0].Line != 10 || mistakes.List[0].Column != strings.Index(`collector = { area = "4 m2", tilt`, "tilt")+1 {
		t.Errorf("want line 10 and the column of tilt, got %#v", err)
	}
}
