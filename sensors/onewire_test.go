package sensors

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/sensors/sensorstest"
)

var (
	_ Clock = (*sensorstest.Clock)(nil)
	_ Bus   = (*OneWire)(nil)
)

const (
	tankTop   = "28-00000a1b2c3d"
	collector = "28-0317974b6dff"
)

// rig is a bus on a recorded tree with a clock that stands still.
type rig struct {
	*OneWire
	t     *testing.T
	clock *sensorstest.Clock
	tree  *sensorstest.Tree
	stop  context.CancelFunc
	ended chan error
}

func newRig(t *testing.T, options OneWireOptions) *rig {
	t.Helper()
	r := &rig{t: t, clock: &sensorstest.Clock{}, tree: sensorstest.NewTree(t)}
	options.Root = r.tree.Root
	bus, err := NewOneWire(r.clock, options)
	if err != nil {
		t.Fatal(err)
	}
	r.OneWire = bus
	return r
}

func (r *rig) run() {
	var ctx context.Context
	ctx, r.stop = context.WithCancel(r.t.Context())
	r.ended = make(chan error, 1)
	go func() { r.ended <- r.Run(ctx) }()
	r.t.Cleanup(r.stop)
}

// passed waits for the end of a pass.
func (r *rig) passed() {
	r.t.Helper()
	if _, err := r.clock.AwaitWait(r.t.Context()); err != nil {
		r.t.Fatal(err)
	}
}

// nextPass lets one period go by and waits for the end of the pass.
func (r *rig) nextPass() {
	r.t.Helper()
	r.clock.Advance(defaultPeriod)
	r.passed()
}

func (r *rig) latest(identity string) Sample {
	r.t.Helper()
	probe, err := r.Probe(identity)
	if err != nil {
		r.t.Fatal(err)
	}
	return probe.Latest()
}

func (r *rig) wantC(identity string, tempC float64) {
	r.t.Helper()
	if got := r.latest(identity); got.Fault != nil || got.Value != tempC {
		r.t.Errorf("%s at %v: %+v, want %g °C", identity, r.clock.Now(), got, tempC)
	}
}

func (r *rig) wantFault(identity string, kind FaultKind) *Fault {
	r.t.Helper()
	got := r.latest(identity)
	var fault *Fault
	if !errors.As(got.Fault, &fault) || fault.Kind != kind {
		r.t.Fatalf("%s at %v: %+v, want fault %v", identity, r.clock.Now(), got, kind)
	}
	return fault
}

func TestBusReadsItsProbes(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop, collector}})
	r.tree.PutC(tankTop, 61.5)
	r.tree.PutC(collector, -12.25)
	if got := r.latest(tankTop); !got.Never || got.Taken != 0 || !errors.Is(got.Fault, NotYetRead) {
		t.Errorf("before the first pass: %+v", got)
	}
	r.run()
	r.passed()
	r.wantC(tankTop, 61.5)
	r.wantC(collector, -12.25)
	r.tree.PutC(tankTop, 61.75)
	r.nextPass()
	r.wantC(tankTop, 61.75)
	got := r.latest(collector)
	if got.Taken != defaultPeriod || got.Repeats != 1 || got.Never || !strings.HasPrefix(got.Raw, "3c ff 4b") {
		t.Errorf("second sample of the collector: %+v", got)
	}
	r.stop()
	if err := <-r.ended; !errors.Is(err, context.Canceled) {
		t.Errorf("Run ended with %v", err)
	}
}

func TestProbeVanishesAndReturns(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	r.tree.PutC(tankTop, 50)
	r.run()
	r.passed()
	r.wantC(tankTop, 50)
	r.tree.Remove(tankTop)
	for range 3 {
		r.nextPass()
	}
	if fault := r.wantFault(tankTop, Absent); fault.Since != defaultPeriod {
		t.Errorf("absent since %v, want %v", fault.Since, defaultPeriod)
	}
	r.tree.PutC(tankTop, 51)
	r.nextPass()
	r.wantC(tankTop, 51)
	if err := os.RemoveAll(r.tree.Root); err != nil {
		t.Fatal(err)
	}
	r.nextPass()
	r.wantFault(tankTop, BusAbsent)
}

func TestTrapsDoNotReachTheConsumer(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop, collector}})
	r.tree.PutC(collector, 30)
	r.tree.PutC(tankTop, 40)
	r.run()
	r.passed()
	zeros := strings.Repeat("00 ", 9)
	for _, trap := range []struct {
		text string
		want FaultKind
	}{
		{"", Silent},
		{zeros + ": crc=00 YES\n" + zeros + "t=0\n", HeldLow},
		{recordOf(at85, 0x7F, 0x0C), PowerOn},
		{recordOf(0x07FF, 0x7F, 0x0C), Unpowered},
		{strings.Repeat("garbage", 100000), Malformed},
	} {
		r.tree.Put(tankTop, trap.text)
		r.nextPass()
		r.wantFault(tankTop, trap.want)
		r.wantC(collector, 30)
	}
	r.tree.PutC(tankTop, 40.5)
	r.nextPass()
	r.wantC(tankTop, 40.5)
}

func TestStrangersAreListedNotUsed(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	r.tree.PutC(tankTop, 50)
	for _, identity := range []string{collector, "10-000802a1b2c3", "00-800000000000", "29-000000000001"} {
		r.tree.Put(identity, "")
	}
	if err := os.Mkdir(filepath.Join(r.tree.Root, "w1_bus_master1"), 0o755); err != nil {
		t.Fatal(err)
	}
	r.run()
	r.passed()
	if got, want := r.Strangers(), []string{"10-000802a1b2c3", collector}; !slices.Equal(got, want) {
		t.Errorf("strangers %v, want %v", got, want)
	}
	r.tree.Remove(collector)
	r.nextPass()
	if got, want := r.Strangers(), []string{"10-000802a1b2c3"}; !slices.Equal(got, want) {
		t.Errorf("strangers %v, want %v", got, want)
	}
}

func TestPermission(t *testing.T) {
	if os.Geteuid() == 0 {
		t.Skip("the superuser may read everything")
	}
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	r.tree.PutC(tankTop, 50)
	if err := os.Chmod(r.tree.Path(tankTop), 0); err != nil {
		t.Fatal(err)
	}
	r.run()
	r.passed()
	r.wantFault(tankTop, Denied)
}

func TestOptionsRefused(t *testing.T) {
	for name, options := range map[string]OneWireOptions{
		"no identity":     {Identities: []string{"tank"}},
		"other family":    {Identities: []string{"10-000802a1b2c3"}},
		"named twice":     {Identities: []string{tankTop, tankTop}},
		"period":          {Period: -time.Second},
		"limit":           {StuckAfter: -time.Second},
		"leaves the tree": {Identities: []string{"../../etc/passwd"}},
	} {
		if _, err := NewOneWire(&sensorstest.Clock{}, options); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
	bus, err := NewOneWire(&sensorstest.Clock{}, OneWireOptions{})
	if err != nil || bus.Name() != "1-wire" || bus.tree.root != DefaultOneWireRoot {
		t.Errorf("defaults: %+v, %v", bus, err)
	}
	if _, err := bus.Probe(tankTop); err == nil {
		t.Error("a probe nobody asked for was handed out")
	}
}

func TestLatestAllocatesNothing(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	r.tree.PutC(tankTop, 50)
	r.run()
	r.passed()
	probe, _ := r.Probe(tankTop)
	simulated := NewSimulated(r.clock.Now, func() (float64, error) { return 50, nil })
	for name, p := range map[string]Probe{"1-wire": probe, "simulated": simulated} {
		if n := testing.AllocsPerRun(100, func() { sink = p.Latest() }); n != 0 {
			t.Errorf("%s: %g allocations", name, n)
		}
	}
}

var sink Sample

func BenchmarkLatest(b *testing.B) {
	probe := newLatest()
	probe.publish(Sample{Value: 50, Raw: goodText})
	b.ReportAllocs()
	for b.Loop() {
		sink = probe.Latest()
	}
}

func BenchmarkRecord(b *testing.B) {
	text := []byte(goodText)
	for b.Loop() {
		rec, _ := parseRecord(text)
		_, _ = rec.temperatureC()
	}
}
