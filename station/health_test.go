package station

import (
	"os"
	"path/filepath"
	"testing"

	"sunstoker/control"
	"sunstoker/site"
)

// kernelTree writes files as the kernel shows them.
func kernelTree(t *testing.T, files map[string]string) string {
	t.Helper()
	root := t.TempDir()
	for name, text := range files {
		path := filepath.Join(root, name)
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return root
}

func TestHealthOfTheBoard(t *testing.T) {
	const alarm, zone = "sys/class/hwmon/hwmon1/in0_lcrit_alarm", "sys/class/thermal/thermal_zone0/temp"
	for name, c := range map[string]struct {
		files map[string]string
		low   bool
		tempC float64
	}{
		"nothing to read": {nil, false, 0},
		"well":            {map[string]string{alarm: "0\n", zone: "48312\n"}, false, 48.312},
		"low supply":      {map[string]string{alarm: "1\n", "sys/class/hwmon/hwmon0/in0_lcrit_alarm": "0\n"}, true, 0},
		"hot":             {map[string]string{zone: "84000", "sys/class/thermal/thermal_zone1/temp": "51000"}, false, 84},
		"nonsense":        {map[string]string{alarm: "", zone: "hot"}, false, 0},
		"off the scale":   {map[string]string{zone: "2147483647"}, false, 0},
	} {
		t.Run(name, func(t *testing.T) {
			h := &Health{root: kernelTree(t, c.files), folder: t.TempDir()}
			var b control.Board
			h.addTo(&b)
			if b.StorageKnown {
				t.Error("something is known before the first look")
			}
			h.look()
			h.addTo(&b)
			if b.SupplyLow != c.low || b.TempC != c.tempC || !b.StorageKnown || b.StorageReadOnly || b.StorageFreeMB <= 0 {
				t.Errorf("told is %+v", b)
			}
		})
	}
}

// TestSagsAreCountedOnce: an alarm that stands is one sag.
func TestSagsAreCountedOnce(t *testing.T) {
	h := &Health{root: kernelTree(t, nil), folder: t.TempDir()}
	path := filepath.Join(h.root, "sys/class/hwmon/hwmon0/in0_lcrit_alarm")
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	for _, text := range []string{"1", "1", "0", "1"} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		h.look()
	}
	var b control.Board
	h.addTo(&b)
	if b.SupplySags != 2 {
		t.Errorf("%d sags, want 2", b.SupplySags)
	}
}

func TestHealthOfAFolderThatIsGone(t *testing.T) {
	h := &Health{root: kernelTree(t, nil), folder: "/no/such/folder"}
	h.look()
	var b control.Board
	h.addTo(&b)
	if b.StorageKnown || b.StorageReadOnly {
		t.Errorf("told is %+v", b)
	}
}

func TestIdentitiesThatNoMakerGives(t *testing.T) {
	s := &site.Site{Probes: make([]site.ProbeWiring, 3)}
	for i, id := range []string{"28-00000a000001", "28-ff641e812345", ""} {
		s.Probes[i].Identity = id
	}
	if n := identityNotes(s); n[0] != "" || n[1] == "" || n[2] != "" {
		t.Errorf("notes are %q", n)
	}
}
