package actuators

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"periph.io/x/conn/v3/gpio"
)

// says fails the test unless the error has every one of the words.
func says(t *testing.T, err error, words ...string) {
	t.Helper()
	if err == nil {
		t.Fatalf("no error; want one that says %q", words)
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error does not say %q: %v", w, err)
		}
	}
}

func TestBankStartsOffWithoutPulse(t *testing.T) {
	_, set := fakeBank(t)
	if len(set.changes) != 0 || set.levels != 0 {
		t.Errorf("level changes at start: %v", set.changes)
	}
	if set.writes != 1 {
		t.Errorf("%d writes at start, want the one that proves the lines obey", set.writes)
	}
	if got := fmt.Sprint(set.requested); got != "[RELAY0 (offset 0) RELAY1 (offset 1) RELAY2 (offset 2)]" {
		t.Errorf("requested %s", got)
	}
}

func TestRelaysMoveOnlyTheirOwnLine(t *testing.T) {
	bank, set := fakeBank(t)
	pump, heater := relayOf(t, bank, "loop_pump"), relayOf(t, bank, "backup_heater")
	must(t, pump.Set(Command{Level: 1}))
	must(t, heater.Set(Command{Level: 1}))
	must(t, pump.Set(Command{Level: 0}))
	must(t, heater.Set(Command{Level: 1}))
	must(t, bank.Close())
	want := "[{1 true} {2 true} {1 false} {2 false}]"
	if got := fmt.Sprint(set.changes); got != want {
		t.Errorf("changes %s, want %s", got, want)
	}
	if set.releases != 1 {
		t.Errorf("%d releases, want 1", set.releases)
	}
	if err := heater.Set(Command{Level: 1}); !errors.Is(err, ErrClosed) {
		t.Errorf("Set after the bank closed: %v", err)
	}
}

func TestLinesGoBackWithTheLastRelay(t *testing.T) {
	bank, set := fakeBank(t)
	for i, name := range []string{"loop_pump", "backup_heater", "valve"} {
		if set.releases != 0 {
			t.Fatalf("lines given back after %d of 3 relays", i)
		}
		must(t, relayOf(t, bank, name).Close())
	}
	if set.releases != 1 {
		t.Errorf("%d releases, want 1", set.releases)
	}
	must(t, bank.Close())
	must(t, bank.Safe())
	if set.releases != 1 {
		t.Error("a second Close gave the lines back again")
	}
}

// A write of all lines fails, single lines work but for the heater's.
func TestSafeTriesEachLine(t *testing.T) {
	bank, set := fakeBank(t)
	for _, name := range []string{"loop_pump", "backup_heater", "valve"} {
		must(t, relayOf(t, bank, name).Set(Command{Level: 1}))
	}
	set.failOut = func(_, mask gpio.GPIOValue) error {
		if mask&2 != 0 {
			return errDrive
		}
		return nil
	}
	says(t, bank.Safe(), "backup_heater", "RELAY1", "may still be on", "heats", "isolator")
	if set.levels != 2 {
		t.Errorf("levels %b after Safe, want only the heater's line high", set.levels)
	}
	if relayOf(t, bank, "loop_pump").Level() != 0 || relayOf(t, bank, "backup_heater").Level() != 1 {
		t.Error("told levels do not follow what could be driven")
	}
	set.failClose = errors.New("close refused")
	says(t, bank.Close(), "backup_heater", "given back")
	says(t, bank.Safe(), "backup_heater")
}

func TestRelayErrorNamesLineAndRemedy(t *testing.T) {
	bank, set := fakeBank(t)
	set.failOut = func(gpio.GPIOValue, gpio.GPIOValue) error { return errDrive }
	err := relayOf(t, bank, "valve").Set(Command{Level: 1})
	says(t, err, "valve", "gpiochip0", "RELAY2", "on", "check")
	if !errors.Is(err, errDrive) {
		t.Error("the kernel's error is lost")
	}
}

func TestOpenBankRefuses(t *testing.T) {
	one := []RelayLine{{Name: "loop_pump", Line: "RELAY0"}}
	many := make([]RelayLine, 65)
	busy := fmt.Errorf("%w (device or resource busy)", errBusy)
	cases := map[string]struct {
		chip   string
		lines  []RelayLine
		change func(*fakeChip)
		says   []string
	}{
		"no such chip":     {"gpiochip7", one, nil, []string{`"gpiochip7"`, "gpiochip0 (label pinctrl-test, 5 lines)"}},
		"no chip named":    {"", one, nil, []string{"no GPIO chip", "gpiochip0"}},
		"no lines":         {"gpiochip0", nil, nil, []string{"0 relay lines", "1 to 64"}},
		"too many lines":   {"gpiochip0", many, nil, []string{"65 relay lines", "1 to 64"}},
		"no such label":    {"gpiochip0", []RelayLine{{Name: "valve", Line: "RELAY9"}}, nil, []string{"valve", `"RELAY9"`, "RELAY0 (offset 0)", "RELAY3"}},
		"no such offset":   {"gpiochip0", []RelayLine{{Name: "valve", Line: "9"}}, nil, []string{`no line "9"`}},
		"negative offset":  {"gpiochip0", []RelayLine{{Name: "valve", Line: "-1"}}, nil, []string{`no line "-1"`}},
		"no line named":    {"gpiochip0", []RelayLine{{Name: "valve"}}, nil, []string{`no line ""`}},
		"line, no label":   {"gpiochip0", []RelayLine{{Name: "valve", Line: "4"}}, nil, []string{"line 4", "no label", "device tree"}},
		"no name":          {"gpiochip0", []RelayLine{{Line: "RELAY0"}}, nil, []string{"RELAY0", "no name"}},
		"same name twice":  {"gpiochip0", []RelayLine{one[0], {Name: "loop_pump", Line: "RELAY1"}}, nil, []string{"two relays", "loop_pump"}},
		"same line twice":  {"gpiochip0", []RelayLine{one[0], {Name: "valve", Line: "0"}}, nil, []string{"loop_pump and valve", "RELAY0"}},
		"active low":       {"gpiochip0", []RelayLine{{Name: "valve", Line: "RELAY0", ActiveLow: true}}, nil, []string{"valve", "click on at each start", "high"}},
		"active low heats": {"gpiochip0", []RelayLine{{Name: "backup_heater", Line: "RELAY0", ActiveLow: true, Heats: true}}, nil, []string{"backup_heater", "it heats", "click on"}},
		"two errors":       {"gpiochip0", []RelayLine{{Name: "valve", Line: "9"}, {Name: "pump", Line: "8"}}, nil, []string{"valve", "pump"}},
		"busy, told":       {"gpiochip0", one, func(c *fakeChip) { c.refuse = busy; c.infos[0].consumer = "blinker@42" }, []string{`loop_pump on RELAY0 (offset 0) by "blinker@42"`, "stop it"}},
		"busy, untold":     {"gpiochip0", one, func(c *fakeChip) { c.refuse = busy }, []string{"another program", "loop_pump on RELAY0", "no holder's name"}},
		"request fails":    {"gpiochip0", one, func(c *fakeChip) { c.refuse = errDrive }, []string{"could not be requested", errDrive.Error()}},
		"lines do not obey": {"gpiochip0", one, func(c *fakeChip) {
			c.set.failOut = func(gpio.GPIOValue, gpio.GPIOValue) error { return errDrive }
		}, []string{"driven off together"}},
		"shared label": {"gpiochip0", one, func(c *fakeChip) { c.infos[3].label = "RELAY0" }, []string{"several lines", "offset 0", "offset 3"}},
		"shared label by offset": {"gpiochip0", []RelayLine{{Name: "valve", Line: "1"}}, func(c *fakeChip) { c.infos[3].label = "RELAY1" },
			[]string{"lines 1 and 3", "RELAY1", "not sure"}},
	}
	for name, tc := range cases {
		t.Run(name, func(t *testing.T) {
			c := newFakeChip(t)
			if tc.change != nil {
				tc.change(c)
			}
			bank, err := openBank([]chip{c}, tc.chip, tc.lines)
			says(t, err, tc.says...)
			if bank != nil {
				t.Error("a bank came with the error")
			}
			if c.set.requested != nil && c.set.releases != 1 {
				t.Error("the lines were not given back")
			}
		})
	}
}

func TestFindChip(t *testing.T) {
	first, second := newFakeChip(t), newFakeChip(t)
	second.nameText = "gpiochip1"
	board := []chip{first, second}
	link := filepath.Join(t.TempDir(), "gpiochip9")
	target := filepath.Join(t.TempDir(), "gpiochip1")
	must(t, os.WriteFile(target, nil, 0o600))
	must(t, os.Symlink(target, link))
	for _, wanted := range []string{"gpiochip1", "/dev/gpiochip1", link} {
		if c, err := findChip(board, wanted); err != nil || c != second {
			t.Errorf("%q: found %v, %v", wanted, c, err)
		}
	}
	_, err := findChip(board, "pinctrl-test")
	says(t, err, "2 GPIO chips", "gpiochip0", "gpiochip1")
	second.labelText = "expander"
	if c, err := findChip(board, "expander"); err != nil || c != second {
		t.Errorf("by label: %v, %v", c, err)
	}
	_, err = findChip(nil, "gpiochip0")
	says(t, err, "none")
}

func TestLineLabelWithTheChipsNameBefore(t *testing.T) {
	c := newFakeChip(t)
	c.infos[2].label = "gpiochip0-WAKE"
	if l, err := findLine(c, "WAKE"); err != nil || l.offset != 2 {
		t.Errorf("found %v, %v", l, err)
	}
	c.infos[1].label = "WAKE"
	_, err := findLine(c, "WAKE")
	says(t, err, "offset 1", "offset 2", "by its offset")
	if l, err := findLine(c, "2"); err != nil || l.offset != 2 {
		t.Errorf("by offset: %v, %v", l, err)
	}
}

func TestUnknownRelay(t *testing.T) {
	bank, _ := fakeBank(t)
	r, err := bank.Relay("pump")
	says(t, err, `"pump"`, "loop_pump", "backup_heater", "valve")
	if r != nil {
		t.Error("a relay came with the error")
	}
}
