package site_test

import (
	"errors"
	"os"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/site"
)

// edited gives a file with edits made, which must be in order.
func edited(t *testing.T, file string, edits ...site.Edit) (string, *site.Site) {
	t.Helper()
	data, err := os.ReadFile("../deploy/sites/" + file)
	if err != nil {
		t.Fatal(err)
	}
	data, err = site.Edited(data, edits...)
	if err != nil {
		t.Fatal(err)
	}
	s, err := site.Parse(file, data)
	if err != nil {
		t.Fatalf("%v\n%s", err, data)
	}
	return string(data), s
}

// Whatever a probe was wired by goes, what is felt of it and the rest of the file
// stays.
func TestRewiring(t *testing.T) {
	was, err := os.ReadFile("../deploy/sites/house-with-winter.toml")
	if err != nil {
		t.Fatal(err)
	}
	text, s := edited(t, "house-with-winter.toml",
		site.RewireProbe(control.Probe{System: 0, Place: control.TankTop}, `kind = "modbus"`, `connection = "127.0.0.1:5020"`, `register = 4`),
		site.RewireProbe(control.Probe{System: control.House, Place: control.OutdoorAir}, `kind = "one-wire"`, `identity = "28-00000a00000f"`),
		site.RewireOutput(control.Output{System: 0, Actuator: control.BackupHeater}, `kind = "modbus"`, `connection = "127.0.0.1:5020"`, `coil = 1`, `drops_when_silent = true`),
		site.SetKey("daemon", "listen", `"127.0.0.1:9999"`))
	for i, p := range s.Plan.Probes {
		w := s.Probes[i]
		switch p.Place {
		case control.TankTop:
			if w.Kind != site.Modbus || w.Register.Number != 4 || w.Identity != "" {
				t.Errorf("tank top: %+v", w)
			}
		case control.OutdoorAir:
			if w.Identity != "28-00000a00000f" {
				t.Errorf("outdoor air: %+v", w)
			}
		}
	}
	if s.Listen != "127.0.0.1:9999" {
		t.Errorf("listen %q", s.Listen)
	}
	lost := 0
	for line := range strings.Lines(string(was)) {
		if !strings.Contains(text, line) {
			lost++
		}
	}
	// The identities of two probes, chip and line of a relay; kind lines stand elsewhere too.
	if lost != 3 || !strings.Contains(text, "# steep: it lets the snow slide off") {
		t.Errorf("%d lines are gone:\n%s", lost, text)
	}
}

// The comment behind a key stays when its value is changed, and is no part of a text.
func TestACommentStaysBehindItsKey(t *testing.T) {
	for was, want := range map[string]string{
		`tank_limit = "60 °C" # as the tank's maker wants it`: `tank_limit = "65 °C" # as the tank's maker wants it`,
		`tank_limit = '60 °C'#close`:                          `tank_limit = "65 °C" #close`,
		`tank_limit = "60 # °C"`:                              `tank_limit = "65 °C"`,
		`tank_limit = "\" # °C" # "quoted"`:                   `tank_limit = "65 °C" # "quoted"`,
		`tank_limit = "60 °C"`:                                `tank_limit = "65 °C"`,
	} {
		got, err := site.Edited([]byte("[settings]\n"+was+"\n"), site.SetSetting(control.House, "tank_limit", "65 °C"))
		if err != nil || string(got) != "[settings]\n"+want+"\n" {
			t.Errorf("%s\nbecomes %q, want %q; %v", was, got, want, err)
		}
	}
}

// A probe that a file does not have yet is added to its own system.
func TestATableIsAdded(t *testing.T) {
	for system := range 2 {
		_, s := edited(t, "two-tanks.toml",
			site.RewireProbe(control.Probe{System: system, Place: control.Tap}, `kind = "one-wire"`, `identity = "28-0000000000aa"`))
		for i, p := range s.Plan.Probes {
			if p.Place == control.Tap && (p.System != system || s.Probes[i].Identity != "28-0000000000aa") {
				t.Errorf("system %d: %+v", system, s.Probes[i])
			}
		}
	}
}

// Two probes of any kind change places by each other's wiring.
func TestWiringLinesMoveAProbe(t *testing.T) {
	was, err := os.ReadFile("../deploy/sites/two-tanks.toml")
	if err != nil {
		t.Fatal(err)
	}
	collector, top := control.Probe{Place: control.Collector}, control.Probe{Place: control.TankTop}
	before, err := site.Parse("two-tanks.toml", was)
	if err != nil {
		t.Fatal(err)
	}
	_, after := edited(t, "two-tanks.toml", site.RewireProbe(collector, site.WiringLines(was, top)...), site.RewireProbe(top, site.WiringLines(was, collector)...))
	at := func(s *site.Site, p control.Probe) site.ProbeWiring {
		for i := range s.Probes {
			if s.Plan.Probes[i] == p {
				return s.Probes[i]
			}
		}
		t.Fatalf("no %v", p)
		return site.ProbeWiring{}
	}
	if at(after, collector).Identity != at(before, top).Identity || at(after, top).Platinum != at(before, collector).Platinum || at(after, top).Kind != site.Platinum {
		t.Errorf("%+v and %+v", at(after, collector), at(after, top))
	}
}

// A probe that is taken out leaves the tables around it alone.
func TestATableIsRemoved(t *testing.T) {
	before, err := site.Load("../deploy/sites/house-with-winter.toml")
	if err != nil {
		t.Fatal(err)
	}
	_, s := edited(t, "house-with-winter.toml", site.RemoveProbe(control.Probe{System: control.House, Place: control.OutdoorAir}))
	if len(s.Plan.Probes) != len(before.Plan.Probes)-1 || len(s.Plan.Outputs) != len(before.Plan.Outputs) || s.Household.People != before.Household.People {
		t.Errorf("left: %+v", s.Plan.Probes)
	}
	edited(t, "house-with-winter.toml", site.RemoveProbe(control.Probe{Place: control.Tap})) // nothing to do
}

func TestATableWithoutHeaderIsRefused(t *testing.T) {
	edit := site.RewireProbe(control.Probe{System: control.House, Place: control.OutdoorAir}, `kind = "one-wire"`, `identity = "28-00000a00000f"`)
	for _, text := range []string{"probe.outdoor_air.kind = \"one-wire\"\n", "[probe]\noutdoor_air = { kind = \"one-wire\" }\n"} {
		if _, err := site.Edited([]byte(text), edit); err == nil || !strings.Contains(err.Error(), "by hand") {
			t.Errorf("%s gives %v", text, err)
		}
	}
}

// Whatever sets of settings a file has, a setting is set where it counts and
// nowhere else, and the file can be read from its own text again.
func TestSettingASetting(t *testing.T) {
	for _, file := range []string{"two-tanks.toml", "house-with-winter.toml"} {
		before, err := site.Load("../deploy/sites/" + file)
		if err != nil {
			t.Fatal(err)
		}
		for system := range before.Systems {
			s, err := before.With(site.SetSetting(control.House, "tap_temperature", "41 °C"), site.SetSetting(system, "tap_temperature", "43 °C"))
			if err != nil {
				t.Fatal(err)
			}
			again, err := s.With()
			if err != nil || !strings.Contains(string(again.Text()), `tap_temperature = "43 °C"`) {
				t.Fatalf("%v\n%s", err, again.Text())
			}
			for i := range s.Systems {
				want := 41.0
				if i == system {
					want = 43
				}
				if s.Plan.Systems[i].Settings.TapC != want || again.Plan.Systems[i].Settings.TapC != want || s.Plan.Settings.TapC != 41 {
					t.Errorf("%s: setting system %d gives system %d %g °C, want %g", file, system, i, s.Plan.Systems[i].Settings.TapC, want)
				}
			}
		}
	}
}

// An edit is held to all that a file is held to, and leaves the site as it was.
func TestAnEditMayNotBreakTheSite(t *testing.T) {
	s, err := site.Load("../deploy/sites/house-with-winter.toml")
	if err != nil {
		t.Fatal(err)
	}
	text := string(s.Text())
	for value, want := range map[string]string{"75 °C": "heater_stop", "95 °C": "40 °C to 85 °C", "2 bar": "a temperature"} {
		name := "tank_limit"
		if value == "75 °C" {
			name = "heater_stop" // into the tank limit
		}
		var mistakes *site.Mistakes
		if _, err := s.With(site.SetSetting(0, name, value)); !errors.As(err, &mistakes) || !strings.Contains(err.Error(), want) {
			t.Errorf("%s = %s gives %v", name, value, err)
		}
	}
	if string(s.Text()) != text {
		t.Error("the site has another text now")
	}
}
