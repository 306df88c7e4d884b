package survey

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sensors/sensorstest"
	"sunstoker/site"
	"sunstoker/station"
)

// paper is an output that can be read while it is written.
type paper struct {
	mu      sync.Mutex
	text    bytes.Buffer
	written chan struct{} // holds a token after a write
}

// await returns once the word was written, or the writer has ended.
func (p *paper) await(word string, ended <-chan struct{}) {
	for !strings.Contains(p.take(), word) {
		select {
		case <-p.written:
		case <-ended:
			return
		}
	}
}

func (p *paper) Write(b []byte) (int, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	select {
	case p.written <- struct{}{}:
	default:
	}
	return p.text.Write(b)
}

// take gives what was written since it was last asked.
func (p *paper) take() string {
	p.mu.Lock()
	defer p.mu.Unlock()
	text := p.text.String()
	p.text.Reset()
	return text
}

// rig is a survey that lives by a clock of its own.
type rig struct {
	t     *testing.T
	clock *station.Lockstep
	now   time.Duration
	out   *paper
	typed *io.PipeWriter
	stop  func() ([]site.Edit, error)
}

func start(t *testing.T, o Options) *rig {
	t.Helper()
	in, typed := io.Pipe()
	r := &rig{t: t, clock: station.NewLockstep(), out: &paper{written: make(chan struct{}, 1)}, typed: typed}
	o.In, o.Out, o.Log = in, r.out, slog.New(slog.DiscardHandler)
	ctx, cancel := context.WithCancel(context.Background())
	var edits []site.Edit
	var err error
	ended := make(chan struct{})
	held := r.clock.Join("the test", station.TickTurn) // nothing moves before the survey has joined
	go func() {
		defer close(ended)
		edits, err = Survey(ctx, r.clock, o)
	}()
	r.out.await("WHERE", ended)
	held.Leave()
	r.stop = func() ([]site.Edit, error) {
		cancel()
		<-ended
		return edits, err
	}
	t.Cleanup(func() { _, _ = r.stop() })
	return r
}

// pass lets some beats pass and gives what was shown meanwhile.
func (r *rig) pass(beats int) string {
	r.t.Helper()
	r.out.take()
	for range beats {
		r.now += beat
		without, err := r.clock.Advance(context.Background(), r.now, control.Wall{Time: time.Unix(0, 0).Add(r.now)})
		if err != nil || len(without) > 0 {
			r.t.Fatalf("%v, without %q", err, without)
		}
	}
	return r.out.take()
}

// ask types a place and waits until it was understood.
func (r *rig) ask(place, answer string) {
	r.t.Helper()
	if _, err := io.WriteString(r.typed, place+"\n"); err != nil {
		r.t.Fatal(err)
	}
	for range 1000 {
		if strings.Contains(r.pass(1), answer) {
			return
		}
	}
	r.t.Fatalf("%q is not answered by %q", place, answer)
}

func (r *rig) wants(text string, words ...string) {
	r.t.Helper()
	for _, w := range words {
		if !strings.Contains(text, w) {
			r.t.Errorf("this does not say %q:\n%s", w, text)
		}
	}
}

const (
	first  = "28-00000000000a"
	second = "28-00000000000b"
	odd    = "28-ff1234567890"
)

// Without a site: what is on the tree is read, what comes later too, and the one
// in the hand is named with what to write.
func TestTheProbeInTheHand(t *testing.T) {
	tree := sensorstest.NewTree(t)
	tree.PutC(first, 20)
	tree.PutC(second, 21)
	tree.Put("10-000802a1b2c3", "")
	r := start(t, Options{Folder: tree.Root, Device: t.TempDir()})
	r.wants(r.pass(2), first, "20 °C", second, "21 °C", "good  [40 01", "10-000802a1b2c3", "DS18S20")
	tree.PutC(odd, 22)
	r.wants(r.pass(2), odd, "22 °C", "ice water")
	tree.Remove(odd)
	r.wants(r.pass(2), odd, "the probe is not on the bus")

	r.ask("tank top", "Hold the probe of the tank top")
	tree.PutC(first, 20.5)
	r.pass(1)
	tree.PutC(first, 24)
	r.pass(1)
	tree.PutC(first, 25)
	r.wants(r.pass(2), "The tank top is 1-wire "+first, "[system.probe.tank_top]", `kind = "one-wire"`, `identity = "`+first+`"`)
	r.wants(r.pass(1), "tank top (found)")

	// The one that was found is out of the next search, however warm it gets.
	r.ask("outdoor_air", "Hold")
	tree.PutC(first, 35)
	tree.PutC(second, 24)
	r.wants(r.pass(4), "outdoor air (found)")
	edits, err := r.stop()
	if err != nil || len(edits) != 2 || edits[1].Header() != "[probe.outdoor_air]" {
		t.Errorf("%v, %+v", err, edits)
	}
}

func TestNoProbeWarms(t *testing.T) {
	tree := sensorstest.NewTree(t)
	tree.PutC(first, 60)
	r := start(t, Options{Folder: tree.Root, Device: t.TempDir()})
	r.ask("attic", "no place of a thermometer")
	r.ask("tap", "Hold")
	r.wants(r.pass(int(patience/beat)+3), "No probe got warm", "let it cool first")
}

func TestNoTree(t *testing.T) {
	devices := t.TempDir()
	if err := os.WriteFile(filepath.Join(devices, "i2c-1"), nil, 0o600); err != nil {
		t.Fatal(err)
	}
	r := start(t, Options{Folder: filepath.Join(devices, "none"), Device: devices})
	r.wants(r.pass(1), "the bus is not there", "overlay", "I2C buses", "i2c-1")
}

const house = `
name = "test house"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "Europe/Rome"
coldest = "-10 °C"
[daemon]
state_folder = "STATE"
[one_wire]
folder = "TREE"
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
[system.probe.collector]
kind = "platinum"
spi_device = "/dev/spidev7.0"
element = "Pt1000"
reference = "4300 Ω"
wires = 3
[system.probe.tank_top]
kind = "one-wire"
identity = "28-00000000000a"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "28-00000000000b"
[system.output.loop_pump]
kind = "relay"
chip = "gpiochip0"
line = "GPIO17"
`

func houseOf(t *testing.T, tree string) (*site.Site, []byte) {
	t.Helper()
	text := []byte(strings.NewReplacer("STATE", t.TempDir(), "TREE", tree).Replace(house))
	s, err := site.Parse("house.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	return s, text
}

// With a site: its places stand beside the probes, other kinds are read too, and
// two that are the wrong way round come out right.
func TestTheSitesProbes(t *testing.T) {
	tree := sensorstest.NewTree(t)
	tree.PutC(first, 20)
	tree.PutC(second, 21)
	s, text := houseOf(t, tree.Root)
	chip := &sensorstest.PlatinumChip{Code: 8212} // 8212 of 32768 parts of 4300 Ω: 20 °C of a Pt1000 (IEC 60751: 1077.9 Ω)
	r := start(t, Options{Site: s, Text: text, Build: station.BuildOptions{SPI: chip.Open}})
	r.wants(r.pass(2), "SPI /dev/spidev7.0", "collector", "1-wire "+first, "tank top", "tank bottom")
	chip.Change(func(c *sensorstest.PlatinumChip) { c.Err = fs.ErrNotExist })
	r.wants(r.pass(2), "there is no device")
	chip.Change(func(c *sensorstest.PlatinumChip) { c.Err = nil })
	r.wants(r.pass(2), "resistance 4028")
	for place, identity := range map[string]string{"tank_bottom": first, "roof tank top": second} {
		tree.PutC(identity, 20)
		r.ask(place, "Hold")
		tree.PutC(identity, 24)
		r.wants(r.pass(4), "(found)")
	}
	r.ask("collector", "Hold")
	chip.Change(func(c *sensorstest.PlatinumChip) { c.Code += 120 }) // some 4 K
	r.wants(r.pass(4), "The collector is SPI /dev/spidev7.0", `element = "Pt1000"`)
	edits, err := r.stop()
	if err != nil {
		t.Fatal(err)
	}
	changed, err := site.Edited(text, edits...)
	if err != nil {
		t.Fatal(err)
	}
	after, err := site.Parse("changed.toml", changed)
	if err != nil {
		t.Fatal(err)
	}
	for i, p := range after.Plan.Probes {
		want := map[control.Place]string{control.TankTop: second, control.TankBottom: first}[p.Place]
		if after.Probes[i].Identity != want {
			t.Errorf("the %s is %q, want %q", p.Place.Words(), after.Probes[i].Identity, want)
		}
	}
}

// While the daemon has the site, 1-wire alone is read.
func TestBesideTheDaemon(t *testing.T) {
	tree := sensorstest.NewTree(t)
	tree.PutC(first, 20)
	s, text := houseOf(t, tree.Root)
	if running, err := station.Running(s); running || err != nil {
		t.Fatalf("nobody runs: %v, %v", running, err)
	}
	held, err := station.New(station.Options{
		Plan: s.Plan, StateFolder: s.StateFolder, Clock: station.NewLockstep(), Log: slog.New(slog.DiscardHandler),
		Open: func() (*station.Ports, error) {
			r := start(t, Options{Site: s, Text: text})
			r.wants(r.pass(2), "20 °C", "the daemon runs and owns it")
			return nil, io.EOF
		},
	})
	if held != nil || err == nil {
		t.Errorf("%v, %v", held, err)
	}
}
