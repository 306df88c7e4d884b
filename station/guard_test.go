package station

import (
	"context"
	"errors"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sunstoker/actuators"
	"sunstoker/actuators/guard"
	"sunstoker/site"
)

// guardedHouse has its outputs on level files, and a guard.
type guardedHouse struct {
	t      *testing.T
	site   *site.Site
	folder string
}

func newGuardedHouse(t *testing.T) *guardedHouse {
	h := &guardedHouse{t: t, folder: t.TempDir()}
	h.site = testSite(t, h.folder, levelFiles(h.folder)+oneWireProbes)
	h.site.Guard = filepath.Join(h.folder, "guard")
	for _, name := range []string{"pump", "heater"} {
		h.must(os.WriteFile(filepath.Join(h.folder, name), []byte("1\n"), 0o644)) // as a dead program leaves it
	}
	return h
}

func (h *guardedHouse) must(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

func (h *guardedHouse) levels(pump, heater string) {
	h.t.Helper()
	for name, want := range map[string]string{"pump": pump, "heater": heater} {
		text, err := os.ReadFile(filepath.Join(h.folder, name))
		h.must(err)
		if got := strings.TrimSpace(string(text)); got != want {
			h.t.Errorf("the %s is at %s, want %s", name, got, want)
		}
	}
}

// serve runs a guard until its end is asked for.
func (h *guardedHouse) serve() (end func()) {
	h.t.Helper()
	o := buildOptions()
	h.must(o.ready(h.site))
	g, l, err := openGuard(h.site.Guard, guardedPart(h.site), o, func() {})
	h.must(err)
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- g.Serve(ctx, l) }()
	return func() {
		h.t.Helper()
		cancel()
		h.must(<-done)
	}
}

func (h *guardedHouse) open() *Ports {
	h.t.Helper()
	o := buildOptions()
	h.must(o.ready(h.site))
	ports := &Ports{}
	h.must(openOutputs(ports, h.site, o))
	return ports
}

func TestAGuardHoldsTheBoardsOutputs(t *testing.T) {
	h := newGuardedHouse(t)
	end := h.serve()
	h.levels("0", "0") // off before anybody asks
	ports := h.open()
	h.must(ports.Outputs[0].Set(actuators.Command{Level: 1}))
	h.levels("1", "0")

	done, err := switchOff(buildOptions(), h.site)
	h.must(err)
	if err := done["loop pump"]; err == nil || !strings.Contains(err.Error(), "stop it first") {
		t.Errorf("beside a program that runs: %v", err)
	}
	h.levels("1", "0")

	h.must(ports.closeOutputs())
	h.levels("0", "0")
	done, err = switchOff(buildOptions(), h.site)
	h.must(err)
	if len(done) != 2 || done["loop pump"] != nil || done["backup heater"] != nil {
		t.Errorf("by the guard: %v", done)
	}
	end()
}

// The hook of a guard that was killed finds no guard, and the next one no hook.
func TestSwitchOffWithoutTheGuard(t *testing.T) {
	h := newGuardedHouse(t)
	done, err := switchOff(buildOptions(), h.site)
	h.must(err)
	if len(done) != 2 || done["loop pump"] != nil || done["backup heater"] != nil {
		t.Errorf("directly: %v", done)
	}
	h.levels("0", "0")
}

// The site file was changed while guard and daemon ran, and the daemon was killed: the
// guard drops what it holds, and an output that the file names now is driven off beside it.
func TestSwitchOffWithTheGuardOfBefore(t *testing.T) {
	for name, guardNow := range map[string]bool{"the guard is named still": true, "the guard was taken out": false} {
		t.Run(name, func(t *testing.T) {
			h := newGuardedHouse(t)
			end := h.serve()
			defer end()
			other := filepath.Join(h.folder, "other")
			h.must(os.WriteFile(other, []byte("1\n"), 0o644))
			now := *h.site
			now.Outputs = slices.Clone(h.site.Outputs)
			now.Outputs[1].File = other
			if !guardNow {
				now.Guard = ""
			}
			done, err := switchOff(buildOptions(), h.site, &now)
			h.must(err)
			if len(done) != 3 {
				t.Errorf("%v", done)
			}
			for name, err := range done {
				if err != nil {
					t.Errorf("%s: %v", name, err)
				}
			}
			h.levels("0", "0")
			if left, err := os.ReadFile(other); err != nil || strings.TrimSpace(string(left)) != "0" {
				t.Errorf("the other is at %s, %v", left, err)
			}
		})
	}
}

// A guard was fitted while the daemon ran, and took the outputs once that was killed.
func TestSwitchOffWithAGuardThatIsNew(t *testing.T) {
	h := newGuardedHouse(t)
	end := h.serve()
	defer end()
	before := *h.site
	before.Guard = ""
	done, err := switchOff(buildOptions(), &before, h.site)
	h.must(err)
	if len(done) != 2 || done["loop pump"] != nil || done["backup heater"] != nil {
		t.Errorf("%v", done)
	}
}

// The daemon starts without its guard, drives nothing, and says so.
func TestADaemonWithoutItsGuardDrivesNothing(t *testing.T) {
	h := newGuardedHouse(t)
	ports := h.open()
	err := ports.Outputs[1].Set(actuators.Command{Level: 1})
	if !errors.Is(err, guard.ErrAbsent) || !strings.Contains(err.Error(), "backup heater") {
		t.Errorf("Set: %v", err)
	}
	h.levels("1", "1") // nobody's: not the daemon's to touch
}

// Lines are read back by the guard that holds them, and a difference is a fault
// of the outputs on that chip.
func TestAGuardReadsLinesBack(t *testing.T) {
	folder := t.TempDir()
	s := testSite(t, folder, relays+oneWireProbes)
	s.Guard = filepath.Join(folder, "guard")
	o := buildOptions()
	hw, bank := fakeHardware(&events{})
	o.hardware = hw
	g, l, err := openGuard(s.Guard, guardedPart(s), o, func() {})
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	bank.differs = errors.New("another hand on the line")
	go func() { done <- g.Serve(ctx, l) }()
	ports := &Ports{}
	if err := openOutputs(ports, s, o); err != nil {
		t.Fatal(err)
	}
	if len(ports.Banks) != 1 || len(ports.Banks[0].Outputs) != 2 || ports.Banks[0].Name != "gpiochip0" {
		t.Fatalf("banks: %+v", ports.Banks)
	}
	if err := ports.Banks[0].ReadBack(); err == nil || !strings.Contains(err.Error(), "another hand") {
		t.Errorf("read back: %v", err)
	}
	cancel()
	if err := <-done; err != nil {
		t.Error(err)
	}
}

// A relay that pulses hold is driven by pulses.
func TestARelayHeldByPulses(t *testing.T) {
	s := testSite(t, t.TempDir(), relays+"pulses = \"10 Hz\"\n"+oneWireProbes)
	o := buildOptions()
	o.hardware, _ = fakeHardware(&events{})
	ports := &Ports{}
	if err := openOutputs(ports, s, o); err != nil {
		t.Fatal(err)
	}
	if _, pulsed := ports.Outputs[1].(*actuators.Pulsed); !pulsed {
		t.Errorf("the heater is a %T", ports.Outputs[1])
	}
	if _, pulsed := ports.Outputs[0].(*actuators.Pulsed); pulsed {
		t.Error("the pump has pulses that it was not given")
	}
	if err := ports.closeOutputs(); err != nil {
		t.Error(err)
	}
}

// A change of the site file must be seen by both ends.
func TestEveryKeyOfAnOutputIsInItsWiring(t *testing.T) {
	base := testSite(t, t.TempDir(), relays+oneWireProbes)
	words := wiringOf(guardedPart(base))
	for what, change := range map[string]func(*site.OutputWiring){
		"chip":  func(w *site.OutputWiring) { w.Chip = "gpiochip1" },
		"line":  func(w *site.OutputWiring) { w.Line = "GPIO22" },
		"kind":  func(w *site.OutputWiring) { w.Kind = site.LevelFile },
		"beat":  func(w *site.OutputWiring) { w.PulseHertz = 10 },
		"place": func(w *site.OutputWiring) { w.Actuator++ },
	} {
		other := *base
		other.Outputs = append([]site.OutputWiring(nil), base.Outputs...)
		change(&other.Outputs[0])
		if wiringOf(guardedPart(&other))[0] == words[0] {
			t.Errorf("another %s is not seen: %s", what, words[0])
		}
	}
}

func TestRunGuard(t *testing.T) {
	h := newGuardedHouse(t)
	m := newServiceManager(t, "1000000")
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	done := make(chan error, 1)
	go func() { done <- RunGuard(ctx, h.site, buildOptions()) }()
	for { // the socket is there once the outputs are held
		conn, err := net.Dial("unixpacket", h.site.Guard)
		if err == nil {
			conn.Close()
			break
		}
		select {
		case err := <-done:
			t.Fatalf("ended early: %v", err)
		default:
		}
	}
	if _, err := net.Dial("unixpacket", h.site.Guard); err != nil {
		t.Error(err)
	}
	if err := RunGuard(ctx, h.site, buildOptions()); err == nil || !strings.Contains(err.Error(), "another program") {
		t.Errorf("a second guard: %v", err)
	}
	cancel()
	h.must(<-done)
	told := strings.Join(m.all(), " ")
	if !strings.Contains(told, "READY=1") || !strings.Contains(told, "WATCHDOG=1") {
		t.Errorf("the service manager was told %q", told)
	}
	h.levels("0", "0")
}

func TestRunGuardWithNothingToHold(t *testing.T) {
	h := newGuardedHouse(t)
	h.site.Guard = ""
	m := newServiceManager(t, "")
	h.must(RunGuard(context.Background(), h.site, buildOptions()))
	if told := strings.Join(m.all(), " "); told != "READY=1" {
		t.Errorf("the service manager was told %q", told)
	}
	o := buildOptions()
	o.euid = func() int { return 0 }
	if err := RunGuard(context.Background(), h.site, o); err == nil || !strings.Contains(err.Error(), "user of its own") {
		t.Errorf("as root: %v", err)
	}
}
