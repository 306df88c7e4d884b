package bench

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"math"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/fieldbus"
	"sunstoker/station/tick"
)

const winterHouse = "../../deploy/sites/house-with-winter.toml"

func load(t testing.TB, file string) (*site.Site, []byte) {
	t.Helper()
	s, err := site.Load(file)
	if err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return s, text
}

var noon = time.Date(2026, 6, 21, 11, 0, 0, 0, time.UTC)

func newPlant(t testing.TB, s *site.Site, o Options) *Plant {
	t.Helper()
	if o.Start.IsZero() {
		o.Start = noon
	}
	p, err := New(s, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// at is the index of the reading of a place.
func at(t testing.TB, s *site.Site, place control.Place) int {
	t.Helper()
	i := slices.IndexFunc(s.Plan.Probes, func(p control.Probe) bool { return p.Place == place })
	if i < 0 {
		t.Fatalf("the house has no %s", place.Words())
	}
	return i
}

func order(t testing.TB, p *Plant, words string) string {
	t.Helper()
	told, err := p.Order(words)
	if err != nil {
		t.Fatalf("%s: %v", words, err)
	}
	return told
}

// TestOrders: each order is felt by the house.
func TestOrders(t *testing.T) {
	s, _ := load(t, winterHouse)
	p := newPlant(t, s, Options{People: household.Nobody{}, Sky: Sky{AirC: 20}})
	pass := func(span time.Duration) {
		var now time.Duration
		p.Look(func(h *sim.House) { now = h.Elapsed() })
		p.Advance(now + span)
	}
	truth := func(do func(*sim.House) float64) (v float64) {
		p.Look(func(h *sim.House) { v = do(h) })
		return v
	}
	light := func(h *sim.House) float64 { return h.Light(0).AbsorbableWM2 }
	pass(10 * time.Minute)
	clear := truth(light)
	order(t, p, "sky cover 50 %")
	pass(time.Second)
	half := truth(light)
	order(t, p, "sky overcast")
	order(t, p, "air -5 °C")
	pass(time.Second)
	if dark := truth(light); !(clear > half && half > dark && dark < clear/3) {
		t.Errorf("light %g, %g and %g W/m²", clear, half, dark)
	}
	if airC := truth(func(h *sim.House) float64 { return h.Sky().AirC }); airC != -5 {
		t.Errorf("air %g °C", airC)
	}
	order(t, p, "draw 10 l/min for 3m")
	pass(5 * time.Minute)
	if l := truth(func(h *sim.House) float64 { return h.Usage().Litres }); math.Abs(l-30) > 0.01 {
		t.Errorf("%g l drawn", l)
	}

	collector := at(t, s, control.Collector)
	order(t, p, "probe missing probe collector for 10s")
	pass(time.Second)
	if v, _ := p.Value(collector); v.OK {
		t.Error("a missing probe gives a value")
	}
	pass(10 * time.Second)
	order(t, p, "bus hangs")
	before, _ := p.Value(collector)
	order(t, p, "sky clear")
	pass(10 * time.Minute)
	if now, read := p.Value(collector); now != before || read > 16*time.Minute {
		t.Error("a bus that hangs brings readings")
	}
	if since, hangs := p.Hangs(); !hangs || since == 0 {
		t.Errorf("it hangs: %v since %v", hangs, since)
	}
	order(t, p, "bus answers")
	pass(time.Second)
	if now, _ := p.Value(collector); !now.OK || now == before {
		t.Errorf("and answers: %+v", now)
	}
	order(t, p, "pump does not turn")
	order(t, p, "flow blocked at 1h")
	order(t, p, "repair pump does not turn")
	order(t, p, "repair all")
	p.Look(func(h *sim.House) {
		if left := h.ActiveFaults(nil); len(left) > 0 {
			t.Errorf("still broken: %+v", left)
		}
	})
}

// TestOrdersThatCannotBe: the words say how to write it.
func TestOrdersThatCannotBe(t *testing.T) {
	s, _ := load(t, winterHouse)
	p := newPlant(t, s, Options{})
	for words, says := range map[string]string{
		"":                      "begin with one of these names",
		"dance":                 "begin with one of these names",
		"sky green":             "sky clear",
		"sky cover 200 %":       "0 to 1",
		"air warm":              "air -5 °C",
		"draw 8 l/min":          "for how long",
		"draw much for 5m":      "draw 8 l/min",
		"draw 8 l/min for 100h": "up to",
		"repair the roof":       "no fault",
		"bus sings":             "bus hangs",
		"press":                 "no hot-water button",
		"storage full":          "the board of the daemon",
		"probe missing":         "write which",
	} {
		if told, err := p.Order(words); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %q, %v, want %q", words, told, err, says)
		}
	}
	for _, o := range orders {
		if !strings.Contains(Help(), o.form) {
			t.Errorf("the help does not tell of %q", o.name)
		}
	}
}

// TestTheBoard: what is ordered of it is felt, and ends.
func TestTheBoard(t *testing.T) {
	s, _ := load(t, winterHouse)
	p := newPlant(t, s, Options{People: household.Nobody{}})
	p.Advance(time.Minute)
	board := func(words string) {
		t.Helper()
		if told, err := p.OrderBoard(words); err != nil || told == "" {
			t.Fatalf("%s: %q, %v", words, told, err)
		}
		p.Advance(p.elapsed() + time.Second)
	}
	for words, want := range map[string]error{
		"storage full": unix.ENOSPC, "storage read-only": unix.EROFS, "storage fails": unix.EIO, "storage tears writes": station.ErrTornWrite,
	} {
		board(words)
		if err := p.StorageFault(); !errors.Is(err, want) {
			t.Errorf("%s: %v, want %v", words, err, want)
		}
		board("storage well")
		if err := p.StorageFault(); err != nil {
			t.Errorf("after %s it is well: %v", words, err)
		}
	}
	right := p.Clock().Time
	board("clock wrong amount -87648")
	if wrong := p.Clock().Time.Sub(right); math.Abs(wrong.Hours()+87648) > 0.01 {
		t.Errorf("the clock is wrong by %v", wrong)
	}
	board("clock right")
	board("clock not set")
	if w := p.Clock(); w.Trusted || w.Time.Year() != 1970 {
		t.Errorf("a clock that is not set: %+v", w)
	}
	board("clock right")
	if w := p.Clock(); !w.Trusted || w.Time.Sub(right) > time.Minute {
		t.Errorf("a clock that is right: %+v", w)
	}
	out, err := Ports{Plant: p, Period: time.Second}.Output(0)
	if err != nil {
		t.Fatal(err)
	}
	on := actuators.Command{Level: 1}
	if err := out.Set(on); err != nil || p.Level(0) != 1 {
		t.Fatalf("driven: %g, %v", p.Level(0), err)
	}
	board("guard dies for 30s")
	if err := out.Set(on); err == nil || p.Level(0) != 0 || out.Level() != 0 {
		t.Errorf("without a guard: %g in the plant, %g by the output, %v", p.Level(0), out.Level(), err)
	}
	p.Advance(p.elapsed() + time.Minute)
	if err := out.Set(on); err != nil || p.Level(0) != 1 {
		t.Errorf("with a guard again: %g, %v", p.Level(0), err)
	}
	for words, says := range map[string]string{
		"guard": "guard dies", "guard dies for": "for how long", "guard dies for -1s": "for how long", "storage": "storage well",
		"clock melts": "clock right", "board too hot": "simulated board", "": "guard dies",
	} {
		if told, err := p.OrderBoard(words); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: %q, %v, want %q", words, told, err, says)
		}
	}
}

// elapsed is the house's time.
func (p *Plant) elapsed() (now time.Duration) {
	p.Look(func(h *sim.House) { now = h.Elapsed() })
	return now
}

// freeAddress is an address of this machine where nobody listens.
func freeAddress(t *testing.T) string {
	t.Helper()
	listener, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer listener.Close()
	return listener.Addr().String()
}

// realTime is a clock that a test moves.
type realTime struct {
	mu  sync.Mutex
	now time.Duration
}

func (r *realTime) Now() time.Duration {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.now
}

func (r *realTime) pass(by time.Duration) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.now += by
}

func TestModule(t *testing.T) {
	s, _ := load(t, winterHouse)
	p, clock, address := newPlant(t, s, Options{Sky: Sky{AirC: -7.25}}), &realTime{}, freeAddress(t)
	p.Advance(0)
	m, err := Serve(p, address, clock.Now)
	if err != nil {
		t.Fatal(err)
	}
	line := fieldbus.New(fieldbus.Options{TCP: address, Timeout: 20 * time.Second})
	t.Cleanup(func() { _ = line.Close() })
	for i := range s.Plan.Probes {
		words, err := line.ReadRegisters(Unit, false, registerOf(i), registersEach)
		if err != nil {
			t.Fatal(err)
		}
		want, _ := p.Value(i)
		if got := math.Float32frombits(uint32(words[0])<<16 | uint32(words[1])); math.Abs(float64(got)-want.Value) > 1e-4 {
			t.Errorf("reading %d: %g, want %g", i, got, want.Value)
		}
	}
	order(t, p, "probe missing probe collector")
	p.Advance(time.Second)
	words, err := line.ReadRegisters(Unit, false, registerOf(at(t, s, control.Collector)), registersEach)
	if err != nil || !math.IsNaN(float64(math.Float32frombits(uint32(words[0])<<16|uint32(words[1])))) {
		t.Errorf("a missing probe: %04x, %v", words, err)
	}
	if _, err := line.ReadRegisters(Unit, false, registerOf(len(s.Probes)), 1); err == nil || !strings.Contains(err.Error(), "no such register") {
		t.Errorf("behind the last: %v", err)
	}

	for i := range s.Outputs {
		if err := line.WriteCoil(Unit, uint16(i), true); err != nil || p.Level(i) != 1 {
			t.Errorf("output %d: %g, %v", i, p.Level(i), err)
		}
	}
	clock.pass(dropsAfter)
	m.Beat()
	if p.Level(0) != 1 {
		t.Error("a coil dropped too early")
	}
	if err := line.WriteCoil(Unit, 0, true); err != nil {
		t.Error(err)
	}
	clock.pass(time.Second)
	m.Beat()
	if p.Level(0) != 1 || p.Level(1) != 0 {
		t.Errorf("after a silence: %g written, %g not", p.Level(0), p.Level(1))
	}
	// A bus of probes that hangs holds up who reads, and nobody who switches.
	order(t, p, "bus hangs")
	hasty := fieldbus.New(fieldbus.Options{TCP: address, Timeout: 200 * time.Millisecond})
	t.Cleanup(func() { _ = hasty.Close() })
	if words, err := hasty.ReadRegisters(Unit, false, 0, 2); err == nil {
		t.Errorf("a bus that hangs gives %04x", words)
	}
	if err := line.WriteCoil(Unit, 0, true); err != nil || p.Level(0) != 1 {
		t.Errorf("a coil beside a bus that hangs: %g, %v", p.Level(0), err)
	}
	if err := m.Close(); err != nil || p.Level(0) != 0 {
		t.Errorf("closed: %g, %v", p.Level(0), err)
	}
	for _, bad := range []string{"0.0.0.0:502", "8.8.8.8:502", "127.0.0.1:0", "here"} {
		if _, err := Serve(p, bad, clock.Now); err == nil {
			t.Errorf("it listens at %s", bad)
		}
	}
}

func TestTree(t *testing.T) {
	s, _ := load(t, winterHouse)
	p := newPlant(t, s, Options{Sky: Sky{AirC: -7.25}})
	p.Advance(0)
	tree := NewTree(p, t.TempDir())
	show := func() {
		t.Helper()
		if err := tree.Beat(); err != nil {
			t.Fatal(err)
		}
	}
	show()
	clock := station.NewLockstep()
	var identities []string
	for _, w := range s.Probes {
		identities = append(identities, w.Identity)
	}
	member := clock.Join("bus", station.BusTurn)
	bus, err := sensors.NewOneWire(member, sensors.OneWireOptions{Root: tree.tree.Root, Identities: identities})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { defer member.Leave(); ended <- bus.Run(ctx) }()
	t.Cleanup(func() { stop(); <-ended })
	now := time.Duration(0)
	read := func(by time.Duration) (samples []sensors.Sample) {
		t.Helper()
		now += by
		if _, err := clock.Advance(ctx, now, control.Wall{}); err != nil {
			t.Fatal(err)
		}
		for _, identity := range identities {
			probe, err := bus.Probe(identity)
			if err != nil {
				t.Fatal(err)
			}
			samples = append(samples, probe.Latest())
		}
		return samples
	}
	for i, sample := range read(2 * time.Second) {
		if want, _ := p.Value(i); sample.Fault != nil || sample.Value != want.Value {
			t.Errorf("reading %d: %g (%v), want %g", i, sample.Value, sample.Fault, want.Value)
		}
	}
	order(t, p, "probe missing probe collector")
	order(t, p, "probe shorted probe tank bottom amount -300")
	p.Advance(time.Second)
	show()
	samples := read(2 * time.Second)
	for place, kind := range map[control.Place]sensors.FaultKind{control.Collector: sensors.Absent, control.TankBottom: sensors.OutOfRange} {
		fault, _ := samples[at(t, s, place)].Fault.(*sensors.Fault)
		if fault == nil || fault.Kind != kind {
			t.Errorf("%s: %v, want %v", place.Words(), fault, kind)
		}
	}
	if err := tree.Close(); err != nil {
		t.Error(err)
	}
	if left, err := os.ReadDir(tree.tree.Root); err != nil || len(left) > 0 {
		t.Errorf("left in the folder: %v, %v", left, err)
	}
}

// Every example site gets a site file for its bench that is in order, with all
// wires leading there.
func TestSiteFile(t *testing.T) {
	files, err := filepath.Glob("../../deploy/sites/*.toml")
	if err != nil || len(files) == 0 {
		t.Fatal(err, files)
	}
	for _, file := range files {
		s, text := load(t, file)
		text = append(text, "\n[mqtt]\nbroker = \"mqtts://broker.example:8883\"\n"...)
		for _, tree := range []string{"", "/run/bench/w1"} {
			changed, err := SiteFile(s, text, SiteFileOptions{Modbus: "127.0.0.1:5020", Tree: tree, StateFolder: "/run/bench/state"})
			if err != nil {
				t.Errorf("%s: %v", file, err)
				continue
			}
			after, err := site.Parse(file, changed)
			if err != nil {
				t.Fatal(err)
			}
			for _, w := range after.Probes {
				want := site.Modbus
				if tree != "" && w.Place.Unit() == control.Celsius {
					want = site.OneWire
				}
				if w.Kind != want {
					t.Errorf("%s: the %s is %q", file, w.Place.Words(), w.Kind)
				}
			}
			for _, o := range after.Outputs {
				if o.Kind != site.Modbus || !o.DropsWhenSilent {
					t.Errorf("%s: the %s is %+v", file, o.Actuator.Words(), o)
				}
			}
			if after.MQTT.Broker != "" {
				t.Errorf("%s: the broker of the real house is told of a simulated one", file)
			}
			if after.StateFolder == s.StateFolder || tree != "" && after.OneWireFolder != tree {
				t.Errorf("%s: state in %s, tree in %s", file, after.StateFolder, after.OneWireFolder)
			}
		}
		for _, w := range s.Plan.Outputs {
			if !strings.Contains(Map(s), w.Actuator.Words()) {
				t.Errorf("%s: the map has no %s", file, w.Actuator.Words())
			}
		}
	}
}

// kept is the newest tick.
type kept struct {
	mu   sync.Mutex
	last *tick.Tick
}

func (k *kept) Watch(t *tick.Tick) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.last = t
}

// TestTheDaemonOnTheBench: a station built from the bench's site file reads and
// drives the plant over real sockets and a real folder.
func TestTheDaemonOnTheBench(t *testing.T) {
	s, text := load(t, winterHouse)
	for _, folder := range []string{"", t.TempDir()} {
		p, address := newPlant(t, s, Options{People: household.Nobody{}, Sky: Sky{AirC: 20}, TankC: 20}), freeAddress(t)
		clock := station.NewLockstep()
		m, err := Serve(p, address, clock.Now)
		if err != nil {
			t.Fatal(err)
		}
		changed, err := SiteFile(s, text, SiteFileOptions{Modbus: address, Tree: folder, StateFolder: t.TempDir()})
		if err != nil {
			t.Fatal(err)
		}
		daemon, err := site.Parse("bench.toml", changed)
		if err != nil {
			t.Fatal(err)
		}
		tree := NewTree(p, folder)
		beat := func(now time.Duration) {
			p.Advance(now)
			m.Beat()
			if folder != "" {
				if err := tree.Beat(); err != nil {
					t.Fatal(err)
				}
			}
		}
		beat(0)
		seen := &kept{}
		st, err := station.Build(daemon, clock, station.BuildOptions{AllowRoot: true, Watchers: []tick.Watcher{seen}, Log: slog.New(slog.NewTextHandler(io.Discard, nil))})
		if err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(context.Background())
		ended := make(chan error, 1)
		go func() { ended <- st.Run(ctx, context.Background()) }()
		for now := time.Duration(0); now < 10*time.Minute; now += time.Second {
			beat(now)
			if without, err := clock.Advance(ctx, now, p.Clock()); err != nil || len(without) > 0 {
				t.Fatalf("%v, without %q", err, without)
			}
		}
		for i, r := range seen.last.Readings {
			if want, _ := p.Value(i); r.Fault != "" || math.Abs(r.Value-want.Value) > 1 {
				t.Errorf("reading %d: %g (%s), want about %g", i, r.Value, r.Fault, want.Value)
			}
		}
		if p.Level(0) != 1 || seen.last.Outputs[0].Driven != 1 {
			t.Errorf("in the sun the pump is at %g in the plant, %g in the daemon's eyes: %+v", p.Level(0), seen.last.Outputs[0].Driven, seen.last.Outputs[0].Decision)
		}
		stop()
		if err := <-ended; err != nil || p.Level(0) != 0 {
			t.Errorf("at the end %v, pump at %g", err, p.Level(0))
		}
		if err := m.Close(); err != nil {
			t.Error(err)
		}
	}
}

// FuzzOrder: whatever is typed, the plant lives on and its probes give numbers.
func FuzzOrder(f *testing.F) {
	for _, words := range []string{"sky cover 40 %", "air -5 °C", "draw 8 l/min at 40 °C for 5m", "repair all", "bus hangs", "press",
		"pump weak amount 0.7 at 1m for 3m", "probes swapped probe tank top with tank bottom", "probe off by amount -200 probe collector", "draw 1e300 l/min for 1h"} {
		f.Add(words, "repair all")
	}
	s, err := site.Load(winterHouse)
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, first, second string) {
		p := newPlant(t, s, Options{Sky: Sky{AirC: 10}})
		for i, words := range []string{first, second} {
			if told, err := p.Order(words); err == nil && told == "" || err != nil && err.Error() == "" {
				t.Errorf("%q is obeyed without a word", words)
			}
			p.Advance(time.Duration(i+1) * 2 * time.Minute)
		}
		for i := range s.Probes {
			if v, _ := p.Value(i); v.OK && (math.IsNaN(v.Value) || math.IsInf(v.Value, 0)) {
				t.Errorf("%q and %q: the %s is %v", first, second, s.Plan.Probes[i].Place.Words(), v.Value)
			}
		}
	})
}
