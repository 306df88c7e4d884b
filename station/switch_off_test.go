package station

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunstoker/actuators"
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
	done, err := SwitchOff(s, BuildOptions{AllowRoot: true, hardware: hw})
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
	if _, err := SwitchOff(s, BuildOptions{euid: func() int { return 0 }}); err == nil {
		t.Error("the root user may drive real outputs")
	}
}
