package station

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/sensors/sensorstest"
	"sunstoker/site"
)

const (
	collectorID = "28-000000000001"
	topID       = "28-000000000002"
	bottomID    = "28-000000000003"
)

// testSite is an invented house; wiring fills in outputs and probes.
func testSite(t *testing.T, tree, wiring string) *site.Site {
	t.Helper()
	text := `
name = "test house"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "Europe/Rome"
coldest = "-10 °C"
[daemon]
state_folder = "` + t.TempDir() + `"
outputs_tested_by = "a test"
[one_wire]
folder = "` + tree + `"
[[system]]
name = "roof"
loop = "pumped"
fluid = "propylene glycol"
antifreeze = "40 %"
loop_pressure = "2 bar"
loop_flow = "4 l/min"
[system.collector]
area = "4 m²"
tilt = "40 °"
direction = "180 °"
optical_efficiency = "78 %"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.tank]
volume = "200 l"
loss = "1.9 W/K"
[system.heater]
power = "2 kW"
` + wiring
	s, err := site.Parse("test.toml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

const oneWireProbes = `
[system.probe.collector]
kind = "one-wire"
identity = "` + collectorID + `"
[system.probe.tank_top]
kind = "one-wire"
identity = "` + topID + `"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "` + bottomID + `"
`

const relays = `
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

func levelFiles(folder string) string {
	return `
[system.output.loop_pump]
kind = "level file"
file = "` + filepath.Join(folder, "pump") + `"
[system.output.backup_heater]
kind = "level file"
file = "` + filepath.Join(folder, "heater") + `"
drops_when_silent = true
`
}

// fakeBank stands for the relays of one chip.
type fakeBank struct {
	events  *events
	outputs map[string]*fakeOutput
	differs error
}

func (b *fakeBank) ReadBack() error { return b.differs }

func (b *fakeBank) Output(name string) (actuators.Output, error) {
	o, ok := b.outputs[name]
	if !ok {
		return nil, errors.New("no relay " + name)
	}
	return o, nil
}

// fakeHardware opens fakes and notes what was opened.
func fakeHardware(e *events) (*hardware, *fakeBank) {
	bank := &fakeBank{events: e, outputs: map[string]*fakeOutput{}}
	return &hardware{
		relays: func(chip string, lines []actuators.RelayLine) (relayBank, error) {
			for _, l := range lines {
				e.add("%s: %s on %s, heats %v", chip, l.Name, l.Line, l.Heats)
				bank.outputs[l.Name] = &fakeOutput{name: l.Name, events: e}
			}
			return bank, nil
		},
		levelFile: func(name, path string, full int) (actuators.Output, error) {
			return nil, errors.New("no such file " + path)
		},
	}, bank
}

func buildOptions() BuildOptions {
	return BuildOptions{Version: "of tests", Log: slog.New(slog.DiscardHandler), euid: func() int { return 1000 }}
}

func TestRelaysOfOneChipAreOneBank(t *testing.T) {
	e := &events{}
	o := buildOptions()
	var bank *fakeBank
	o.hardware, bank = fakeHardware(e)
	s := testSite(t, t.TempDir(), oneWireProbes+relays)
	st, err := Build(s, NewLockstep(), o)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(e.all(), "\n"); got != "gpiochip0: loop pump on GPIO17, heats false\ngpiochip0: backup heater on GPIO27, heats true" {
		t.Error(got)
	}
	bank.differs = errors.New("another hand")
	st.turn(0, 0)
	for i := range s.Outputs {
		if st.drive.fault(i) != "another hand" {
			t.Errorf("output %d: %q", i, st.drive.fault(i))
		}
	}
	endNow(t, st)
}

// endNow runs a station whose end has come already, so that it lets go.
func endNow(t *testing.T, st *Station) {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if err := st.Run(ctx, context.Background()); err != nil {
		t.Error(err)
	}
}

func TestTheWholeStationOnFiles(t *testing.T) {
	tree, folder := sensorstest.NewTree(t), t.TempDir()
	for _, name := range []string{"pump", "heater"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte("1\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	level := func(name string) string {
		data, err := os.ReadFile(filepath.Join(folder, name))
		if err != nil {
			t.Fatal(err)
		}
		return strings.TrimSpace(string(data))
	}
	for _, id := range []string{collectorID, topID, bottomID} {
		tree.PutC(id, 50)
	}
	clock := NewLockstep()
	kept := &keeper{}
	o := buildOptions()
	o.Watchers = append(o.Watchers, kept)
	st, err := Build(testSite(t, tree.Root, oneWireProbes+levelFiles(folder)), clock, o)
	if err != nil {
		t.Fatal(err)
	}
	if level("pump") != "0" || level("heater") != "0" {
		t.Error("outputs that were on are not off after the start")
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- st.Run(ctx, context.Background()) }()
	advance := func(to time.Duration) {
		if without, err := clock.Advance(context.Background(), to, control.Wall{Time: noon.Add(to), Trusted: true}); err != nil || len(without) > 0 {
			t.Fatalf("%v, without %q", err, without)
		}
	}
	advance(130 * time.Second)
	first := kept.last()
	if first.Readings[0].Value != 50 || first.Readings[0].Kind != site.OneWire || first.Readings[0].Raw == "" || first.Readings[0].Quality != control.Good {
		t.Errorf("reading %+v", first.Readings[0])
	}
	tree.PutC(collectorID, 62)
	advance(140 * time.Second)
	if level("pump") != "1" {
		t.Errorf("the pump's file says %q with the collector 12 K hotter", level("pump"))
	}
	tree.Remove(topID)
	advance(10 * time.Minute)
	if reading := kept.last().Readings[1]; reading.Quality != control.Missing || !strings.Contains(reading.Fault, topID) {
		t.Errorf("reading of a probe that vanished: %+v", reading)
	}
	stop()
	if err := <-ended; err != nil {
		t.Error(err)
	}
	if level("pump") != "0" {
		t.Error("the pump is not off at the end")
	}
}

func TestRootIsRefused(t *testing.T) {
	o := buildOptions()
	o.euid = func() int { return 0 }
	o.hardware = &hardware{} // nothing may be opened
	_, err := Build(testSite(t, t.TempDir(), oneWireProbes+relays), NewLockstep(), o)
	if err == nil || !strings.Contains(err.Error(), "--allow-root") {
		t.Errorf("got %v", err)
	}
	o.AllowRoot = true
	o.hardware, _ = fakeHardware(&events{})
	st, err := Build(testSite(t, t.TempDir(), oneWireProbes+relays), NewLockstep(), o)
	if err != nil {
		t.Fatal(err)
	}
	endNow(t, st)
}

func TestAnOutputThatDoesNotOpen(t *testing.T) {
	e := &events{}
	o := buildOptions()
	var bank *fakeBank
	o.hardware, bank = fakeHardware(e)
	wiring := relays[:strings.Index(relays, "[system.output.backup")] + strings.SplitAfter(levelFiles("/nowhere"), "pump\"\n")[1]
	s := testSite(t, t.TempDir(), oneWireProbes+wiring)
	_, err := Build(s, NewLockstep(), o)
	if err == nil || !strings.Contains(err.Error(), "test.toml:") || !strings.Contains(err.Error(), "/nowhere/heater") {
		t.Errorf("got %v", err)
	}
	if !bank.outputs["loop pump"].closed {
		t.Error("the relay that had been opened is not driven off")
	}
}

func TestSimulatedWithoutAPlant(t *testing.T) {
	kinds := strings.NewReplacer(
		"kind = \"one-wire\"\nidentity = \""+collectorID+"\"", `kind = "simulated"`,
		"kind = \"one-wire\"\nidentity = \""+topID+"\"", `kind = "simulated"`,
		"kind = \"one-wire\"\nidentity = \""+bottomID+"\"", `kind = "simulated"`)
	wiring := kinds.Replace(oneWireProbes) + "[system.output.loop_pump]\nkind = \"simulated\"\n[system.output.backup_heater]\nkind = \"simulated\"\n"
	o := buildOptions()
	o.euid = func() int { return 0 } // root is welcome, since nothing real moves
	_, err := Build(testSite(t, t.TempDir(), wiring), NewLockstep(), o)
	if !errors.Is(err, errNoPlant) {
		t.Errorf("got %v", err)
	}
}
