package station

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunstoker/actuators"
	"sunstoker/site"
)

// TestSwitchOffLeavesNoOutputBehind: a level that a dead program has left is
// driven off, and an output that can't be had keeps no other on.
func TestSwitchOffLeavesNoOutputBehind(t *testing.T) {
	file := filepath.Join(t.TempDir(), "brightness")
	if err := os.WriteFile(file, []byte("255\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	s := testSite(t, t.TempDir(), `
[system.output.loop_pump]
kind = "level file"
file = "`+file+`"
full = 255
[system.output.backup_heater]
kind = "relay"
chip = "gpiochip0"
line = "GPIO17"
without_guard = true
[system.probe.collector]
kind = "one-wire"
identity = "`+collectorID+`"
[system.probe.tank_top]
kind = "one-wire"
identity = "`+topID+`"
`)
	taken := errors.New("the line is held by another program")
	hw := board()
	hw.relays = func(string, []actuators.RelayLine) (relayBank, error) { return nil, taken }
	done, err := switchOff(BuildOptions{AllowRoot: true, hardware: hw}, s)
	if err != nil {
		t.Fatal(err)
	}
	if err := done["loop pump"]; err != nil {
		t.Errorf("loop pump: %v", err)
	}
	if err := done["backup heater"]; !errors.Is(err, taken) {
		t.Errorf("backup heater: %v, want %v", err, taken)
	}
	left, err := os.ReadFile(file)
	if err != nil || strings.TrimSpace(string(left)) != "0" {
		t.Errorf("the level file holds %q (%v), want 0", left, err)
	}
}

func TestSwitchOffRefusesRoot(t *testing.T) {
	s := testSite(t, t.TempDir(), `
[system.output.loop_pump]
kind = "relay"
chip = "gpiochip0"
line = "GPIO17"
[system.probe.collector]
kind = "one-wire"
identity = "`+collectorID+`"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "`+bottomID+`"
`)
	if _, err := switchOff(BuildOptions{euid: func() int { return 0 }}, s); err == nil {
		t.Error("the root user may drive real outputs")
	}
}

// spoiltHouse has a site file on the disk that somebody changes while the program
// runs, and outputs on level files.
type spoiltHouse struct {
	t                    *testing.T
	folder, file, memory string
	text                 string
}

func newSpoiltHouse(t *testing.T) *spoiltHouse {
	h := &spoiltHouse{t: t, folder: t.TempDir()}
	s := testSite(t, h.folder, oneWireProbes+levelFiles(h.folder))
	h.file, h.memory, h.text = filepath.Join(h.folder, "site.toml"), s.StateFolder, string(s.Text())
	h.write(h.text)
	return h
}

func (h *spoiltHouse) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

func (h *spoiltHouse) write(text string) { h.must(os.WriteFile(h.file, []byte(text), 0o644)) }

// put sets the level files to what a dead program has left.
func (h *spoiltHouse) put(level string, names ...string) {
	for _, name := range names {
		h.must(os.WriteFile(filepath.Join(h.folder, name), []byte(level), 0o644))
	}
}

// live runs the program by the site file as it is now, and has pump and heater left on.
func (h *spoiltHouse) live() {
	h.t.Helper()
	h.put("0", "pump", "heater")
	s, err := site.Load(h.file)
	h.must(err)
	st, err := Build(s, NewLockstep(), buildOptions())
	h.must(err)
	endNow(h.t, st)
	h.put("1", "pump", "heater")
}

// off wants the named level files off, and these words told.
func (h *spoiltHouse) off(names, told string) *SwitchedOff {
	h.t.Helper()
	done, err := SwitchOff(h.file, buildOptions())
	h.must(err)
	for name, err := range done.Outputs {
		if err != nil {
			h.t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range strings.Fields(names) {
		left, err := os.ReadFile(filepath.Join(h.folder, name))
		h.must(err)
		if strings.TrimSpace(string(left)) != "0" {
			h.t.Errorf("the %s is at %s", name, left)
		}
	}
	if all := strings.Join(done.Remarks, "\n"); (told == "") != (all == "") || !strings.Contains(all, told) {
		h.t.Errorf("told is %q, want %q", all, told)
	}
	return done
}

// TestSwitchOffWithASpoiltSiteFile: somebody spoils the site file while the program
// runs, which is then killed. What it had left on goes off all the same.
func TestSwitchOffWithASpoiltSiteFile(t *testing.T) {
	for name, spoil := range map[string]func(text string) string{
		"a value out of range":         func(text string) string { return strings.Replace(text, `tilt = "40 °"`, `tilt = "140 °"`, 1) },
		"a line that is no TOML":       func(text string) string { return strings.Replace(text, `volume = "200 l"`, `volume = 200 l`, 1) },
		"a heater that nothing drops":  func(text string) string { return strings.Replace(text, "drops_when_silent", "#", 1) },
		"no outputs any more":          func(text string) string { return text[:strings.Index(text, "[system.output")] },
		"cut short":                    func(text string) string { return text[:strings.Index(text, "[one_wire]")+7] },
		"an output that is misspelled": func(text string) string { return strings.Replace(text, "backup_heater", "backup_heatr", 1) },
	} {
		t.Run(name, func(t *testing.T) {
			h := newSpoiltHouse(t)
			h.live()
			h.write(spoil(h.text))
			done := h.off("pump heater", h.file+" is refused:\n")
			if len(done.Outputs) != 2 || done.Rest != nil {
				t.Errorf("%+v", done)
			}
		})
	}
}

func TestSwitchOffWithAnUnchangedSiteFile(t *testing.T) {
	h := newSpoiltHouse(t)
	h.live()
	if done := h.off("pump heater", ""); len(done.Outputs) != 2 || done.Rest != nil {
		t.Errorf("%+v", done)
	}
}

// TestSwitchOffOfTwoSiteFiles: the file was changed while the program ran, and is
// sound. Where the program's outputs were counts, and where they are now as well.
func TestSwitchOffOfTwoSiteFiles(t *testing.T) {
	h := newSpoiltHouse(t)
	h.live()
	h.put("1", "other")
	h.write(strings.Replace(h.text, "/heater\"", "/other\"", 1))
	done := h.off("pump heater other", "was changed since")
	before := "backup heater, file " + filepath.Join(h.folder, "heater")
	if _, there := done.Outputs[before]; !there || len(done.Outputs) != 3 {
		t.Errorf("no %s in %v", before, done.Outputs)
	}
	h.live() // the next start runs by the new file
	h.put("0", "other")
	h.off("", "")
}

// TestSwitchOffWithoutACopy: what can be understood goes off, and it is said that this
// may not be all.
func TestSwitchOffWithoutACopy(t *testing.T) {
	h := newSpoiltHouse(t)
	h.live()
	path := filepath.Join(h.memory, acceptedName)
	kept, err := os.ReadFile(path)
	h.must(err)
	h.must(os.WriteFile(path, kept[:len(kept)-1], 0o600))
	h.off("pump heater", "its checksum is wrong") // the site file is sound

	h.put("1", "pump", "heater")
	h.write(strings.Replace(h.text, `tilt = "40 °"`, `tilt = 40 °`, 1))
	done := h.off("pump heater", "its checksum is wrong")
	if done.Rest == nil || !strings.Contains(done.Rest.Error(), "use the isolators") {
		t.Errorf("the rest: %v", done.Rest)
	}
	h.must(os.Remove(path))
	done = h.off("pump heater", acceptedName)
	if done.Rest == nil {
		t.Error("all is taken for known")
	}
	h.must(os.Remove(h.file))
	_, err = SwitchOff(h.file, buildOptions())
	if err == nil || !strings.Contains(err.Error(), "there is no such file") || !strings.Contains(err.Error(), "isolators of heater and pump") {
		t.Errorf("without any file: %v", err)
	}
}

// TestSwitchOffByACopyOfAnotherProgram: the program was replaced while it ran, and the
// next one knows an output no more.
func TestSwitchOffByACopyOfAnotherProgram(t *testing.T) {
	h := newSpoiltHouse(t)
	h.live()
	text := h.text + "[system.output.fountain]\nkind = \"relay\"\n"
	h.must(keepAccepted(realDisk{}, h.memory, []byte(text)))
	h.write(text)
	done := h.off("pump heater", "fountain: this name is not known")
	if done.Rest == nil || !strings.Contains(done.Rest.Error(), "system.output.fountain") {
		t.Errorf("the rest: %v", done.Rest)
	}
}

// TestSwitchOffOfSwappedLines: each line is driven once, whatever hangs on it now.
func TestSwitchOffOfSwappedLines(t *testing.T) {
	swapped := strings.NewReplacer("GPIO17", "GPIO27", "GPIO27", "GPIO17").Replace(relays)
	e := &events{}
	o := buildOptions()
	o.hardware, _ = fakeHardware(e)
	before, now := testSite(t, t.TempDir(), relays+oneWireProbes), testSite(t, t.TempDir(), swapped+oneWireProbes)
	done, err := switchOff(o, before, now)
	if err != nil || len(done) != 2 {
		t.Errorf("%v, %v", done, err)
	}
	driven := strings.Join(e.all(), "; ")
	for _, line := range []string{"GPIO17", "GPIO27"} {
		if strings.Count(driven, line) != 1 {
			t.Errorf("%s is not driven once: %s", line, driven)
		}
	}
}
