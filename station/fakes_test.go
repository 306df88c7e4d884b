package station

import (
	"bytes"
	"context"
	"fmt"
	"log/slog"
	"sync"
	"testing"
	"time"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/sensors"
	"sunstoker/station/tick"
)

// events writes down what happened, in its order.
type events struct {
	mu   sync.Mutex
	list []string
}

func (e *events) add(format string, args ...any) {
	e.mu.Lock()
	defer e.mu.Unlock()
	e.list = append(e.list, fmt.Sprintf(format, args...))
}

func (e *events) all() []string {
	e.mu.Lock()
	defer e.mu.Unlock()
	return append([]string(nil), e.list...)
}

// logText is a log that can be read while it is written.
type logText struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (l *logText) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

func (l *logText) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.String()
}

// fakeProbe gives a settable value, as young as the clock.
type fakeProbe struct {
	clock Clock
	mu    sync.Mutex
	value float64
	fault error
	panic bool
}

func (p *fakeProbe) set(value float64) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.value = value
}

func (p *fakeProbe) Latest() sensors.Sample {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.panic {
		panic("a probe of straw")
	}
	return sensors.Sample{Value: p.value, Taken: p.clock.Now(), Fault: p.fault, Raw: "raw"}
}

// fakeOutput notes what it is told.
type fakeOutput struct {
	name   string
	events *events

	mu     sync.Mutex
	level  float64
	fails  error
	blocks chan struct{} // Set takes from it twice when not nil: as it begins and before it goes on
	closes chan struct{} // Close waits for it when not nil
	sets   int
	last   actuators.Command
	closed bool
}

func (o *fakeOutput) Set(c actuators.Command) error {
	o.mu.Lock()
	blocks := o.blocks
	o.mu.Unlock()
	if blocks != nil {
		<-blocks
		<-blocks
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.sets++
	o.last = c
	if o.closed {
		return actuators.ErrClosed
	}
	if o.fails != nil {
		return o.fails
	}
	o.level = c.Level
	return nil
}

func (o *fakeOutput) Level() float64 {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.level
}

func (o *fakeOutput) Safe() error {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.level = 0
	return nil
}

func (o *fakeOutput) Close() error {
	o.mu.Lock()
	closes := o.closes
	o.mu.Unlock()
	if closes != nil {
		<-closes
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	if !o.closed {
		o.closed, o.level = true, 0
		o.events.add("%s off for good", o.name)
	}
	return nil
}

func (o *fakeOutput) change(do func(*fakeOutput)) {
	o.mu.Lock()
	defer o.mu.Unlock()
	do(o)
}

// keeper is a watcher that keeps every tick.
type keeper struct {
	mu    sync.Mutex
	ticks []*tick.Tick
}

func (k *keeper) Watch(t *tick.Tick) {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.ticks = append(k.ticks, t)
}

func (k *keeper) last() *tick.Tick {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.ticks[len(k.ticks)-1]
}

func (k *keeper) count() int {
	k.mu.Lock()
	defer k.mu.Unlock()
	return len(k.ticks)
}

// Indices of the test house's readings and outputs.
const (
	collectorAt = iota
	tankTopAt
	tankBottomAt
)

const (
	pumpAt = iota
	heaterAt
)

func testPlan() control.Plan {
	return control.Plan{
		LatitudeDeg: 45, Settings: control.DefaultSettings(),
		Systems: []control.System{{Name: "roof", Settings: control.DefaultSettings(), FreezingPointC: -20, HeaterW: 2000}},
		Probes:  []control.Probe{{Place: control.Collector}, {Place: control.TankTop}, {Place: control.TankBottom}},
		Outputs: []control.Output{{Actuator: control.LoopPump}, {Actuator: control.BackupHeater}},
	}
}

// rig is a station on fakes and on a lockstep clock.
type rig struct {
	t       *testing.T
	clock   *Lockstep
	options Options
	ports   *Ports
	probes  []*fakeProbe
	outputs []*fakeOutput
	kept    *keeper
	events  *events
	log     *logText
	opened  int

	station     *Station
	stop, hurry context.CancelFunc
	ended       chan struct{} // closed once Run has returned
	err         error         // of Run
}

// noon is the wall clock of the rig at instant 0.
var noon = time.Date(2026, 6, 1, 12, 0, 0, 0, time.UTC)

func newRig(t *testing.T) *rig {
	t.Helper()
	r := &rig{t: t, clock: NewLockstep(), kept: &keeper{}, events: &events{}, log: &logText{}, ports: &Ports{}}
	for range 3 {
		p := &fakeProbe{clock: r.clock, value: 50}
		r.probes = append(r.probes, p)
		r.ports.Probes = append(r.ports.Probes, ProbePort{p, "fake"})
	}
	for _, name := range []string{"pump", "heater"} {
		o := &fakeOutput{name: name, events: r.events}
		r.outputs = append(r.outputs, o)
		r.ports.Outputs = append(r.ports.Outputs, o)
	}
	r.options = Options{
		Name: "test house", Version: "of tests", Plan: testPlan(), Clock: r.clock,
		Open:        func() (*Ports, error) { r.opened++; return r.ports, nil },
		StateFolder: t.TempDir(), Watchers: []tick.Watcher{r.kept},
		Log: slog.New(slog.NewTextHandler(r.log, nil)),
	}
	t.Cleanup(func() {
		if t.Failed() {
			t.Log(r.log)
		}
	})
	return r
}

// start runs the station up to its tick at instant 0.
func (r *rig) start() {
	r.t.Helper()
	r.startWall(control.Wall{Time: noon, Trusted: true})
}

// startWall is start with a wall clock of its own.
func (r *rig) startWall(wall control.Wall) {
	r.t.Helper()
	var err error
	if r.station, err = New(r.options); err != nil {
		r.t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	hurry, hurryUp := context.WithCancel(context.Background())
	r.stop, r.hurry, r.ended = stop, hurryUp, make(chan struct{})
	go func() {
		defer close(r.ended)
		r.err = r.station.Run(ctx, hurry)
	}()
	r.t.Cleanup(func() {
		stop()
		<-r.ended
		hurryUp()
	})
	r.toWall(0, wall)
}

// to advances to an instant, with the wall clock running along and trusted.
func (r *rig) to(at time.Duration) {
	r.t.Helper()
	r.toWall(at, control.Wall{Time: noon.Add(at), Trusted: true})
}

func (r *rig) toWall(at time.Duration, wall control.Wall) {
	r.t.Helper()
	without, err := r.clock.Advance(context.Background(), at, wall)
	if err != nil || len(without) > 0 {
		r.t.Fatalf("advance to %v: %v, without %q", at, err, without)
	}
}

// end stops the station and gives Run's error.
func (r *rig) end() error {
	r.t.Helper()
	r.stop()
	<-r.ended
	return r.err
}

func (r *rig) hasFinding(kind control.FindingKind) bool {
	for _, f := range r.kept.last().Findings {
		if f.Kind == kind {
			return true
		}
	}
	return false
}

// stuckBus hangs in the kernel from its first operation on, but ends with its
// context, as buses do.
type stuckBus struct{ release chan struct{} }

func (b *stuckBus) Name() string { return "cable to the roof" }

func (b *stuckBus) Run(ctx context.Context) error {
	select {
	case <-b.release:
	case <-ctx.Done():
	}
	return ctx.Err()
}

func (b *stuckBus) Stuck() (time.Duration, string, bool) { return 0, "reading a file", true }
