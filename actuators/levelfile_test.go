package actuators

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// put writes a file of the folder and gives its path.
func put(t *testing.T, folder, name, text string) string {
	t.Helper()
	path := filepath.Join(folder, name)
	must(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

func text(t *testing.T, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	must(t, err)
	return string(b)
}

func TestLevelFileWritesWholeNumbers(t *testing.T) {
	folder := t.TempDir()
	path := put(t, folder, "brightness", "255\n")
	put(t, folder, "max_brightness", "255\n")
	l, err := OpenLevelFile("loop_pump", path, 0)
	must(t, err)
	if got := text(t, path); got != "0\n" {
		t.Fatalf("after opening: %q, want off", got)
	}
	for _, step := range []struct {
		level float64
		want  string
		told  float64
	}{{1, "255\n", 1}, {0.5, "128\n", 128.0 / 255}, {0.001, "0\n", 0}, {0.04, "10\n", 10.0 / 255}, {0, "0\n", 0}} {
		must(t, l.Set(Command{Level: step.level}))
		if got := text(t, path); got != step.want || l.Level() != step.told {
			t.Errorf("level %v: file %q, told %v; want %q, %v", step.level, got, l.Level(), step.want, step.told)
		}
	}
	must(t, l.Set(Command{Level: 1}))
	must(t, l.Close())
	if got := text(t, path); got != "0\n" {
		t.Errorf("after Close: %q", got)
	}
}

func TestLevelFileThroughALinkedFolder(t *testing.T) {
	real, link := t.TempDir(), filepath.Join(t.TempDir(), "relay")
	path := put(t, real, "brightness", "0\n")
	must(t, os.Symlink(real, link))
	l, err := OpenLevelFile("valve", filepath.Join(link, "brightness"), 0)
	must(t, err)
	must(t, l.Set(Command{Level: 1}))
	if got := text(t, path); got != "1\n" {
		t.Errorf("file %q, want on", got)
	}
	must(t, l.Close())
}

func TestLevelFileRefuses(t *testing.T) {
	folder := t.TempDir()
	file := put(t, folder, "brightness", "7\n")
	link := filepath.Join(folder, "link")
	must(t, os.Symlink(file, link))
	limited := t.TempDir()
	led := put(t, limited, "brightness", "0\n")
	put(t, limited, "max_brightness", "1\n")
	odd := t.TempDir()
	oddLED := put(t, odd, "brightness", "0\n")
	put(t, odd, "max_brightness", "full\n")

	for name, tc := range map[string]struct {
		path string
		most int
		says []string
	}{
		"missing":         {filepath.Join(folder, "none"), 0, []string{"loop_pump", "no file", "driver loaded"}},
		"folder":          {folder, 0, []string{"a folder", "brightness"}},
		"symbolic link":   {link, 0, []string{"a symbolic link"}},
		"device":          {os.DevNull, 0, []string{"a device"}},
		"negative full":   {file, -1, []string{"-1", "1 or more"}},
		"above kernel's":  {led, 255, []string{"255", "at most 1"}},
		"odd kernel file": {oddLED, 0, []string{"max_brightness", `"full"`}},
	} {
		t.Run(name, func(t *testing.T) {
			l, err := OpenLevelFile("loop_pump", tc.path, tc.most)
			says(t, err, tc.says...)
			if l != nil {
				t.Error("an output came with the error")
			}
		})
	}
	if got := text(t, file); got != "7\n" {
		t.Errorf("a refused file was written: %q", got)
	}
}

func TestCreateLevelFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "pump")
	l, err := CreateLevelFile("loop_pump", path, 0)
	must(t, err)
	if got := text(t, path); got != "0\n" {
		t.Errorf("made with %q", got)
	}
	must(t, l.Close())
	l, err = CreateLevelFile("loop_pump", path, 0)
	must(t, err)
	must(t, l.Close())
	_, err = CreateLevelFile("loop_pump", filepath.Join(t.TempDir(), "none", "pump"), 0)
	says(t, err, "loop_pump", "make the folder")
	_, err = CreateLevelFile("loop_pump", t.TempDir(), 0)
	says(t, err, "a folder")
}

func TestLevelFileTellsAReplacedFile(t *testing.T) {
	folder := t.TempDir()
	path := put(t, folder, "brightness", "0\n")
	l, err := OpenLevelFile("loop_pump", path, 1)
	must(t, err)
	must(t, os.Rename(put(t, folder, "other", "0\n"), path))
	says(t, l.Set(Command{Level: 1}), "loop_pump", "taken its place", "by hand")
	if l.Level() != 0 {
		t.Error("a level that reached nothing is told as driven")
	}
	mustFail(t, l.Close(), "Close on a replaced file")
}

// The kernel's attribute files look one page long and must not be cut.
func TestLevelFileLeavesPageSizedFilesWhole(t *testing.T) {
	page := make([]byte, os.Getpagesize())
	path := put(t, t.TempDir(), "brightness", string(page))
	l, err := OpenLevelFile("loop_pump", path, 1)
	must(t, err)
	must(t, l.Close())
	if got := len(text(t, path)); got != len(page) {
		t.Errorf("file is %d bytes long now", got)
	}
}

// TestALevelFileHasOneDriver: a second program on the same file is refused and
// touches nothing; when the first one lets go, the file is free.
func TestALevelFileHasOneDriver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "brightness")
	first, err := CreateLevelFile("loop_pump", path, 1)
	if err != nil {
		t.Fatal(err)
	}
	if err := first.Set(Command{Level: 1}); err != nil {
		t.Fatal(err)
	}
	if _, err := OpenLevelFile("backup_heater", path, 1); err == nil || !strings.Contains(err.Error(), "another program drives") {
		t.Errorf("a second driver: %v", err)
	}
	if data, err := os.ReadFile(path); err != nil || string(data) != "1\n" {
		t.Errorf("the refused driver left %q, %v", data, err)
	}
	if err := first.Close(); err != nil {
		t.Fatal(err)
	}
	second, err := OpenLevelFile("loop_pump", path, 1)
	if err != nil {
		t.Fatal(err)
	}
	if err := second.Close(); err != nil {
		t.Error(err)
	}
}
