package control

import (
	"encoding/binary"
	"os"
	"reflect"
	"slices"
	"testing"
	"time"
	"unsafe"
)

// mostStates is how many states are visited in each plant at most: a first look
// in every test run, and all that time allows in `make proof`.
func mostStates() int {
	switch {
	case os.Getenv("SUNSTOKER_PROOF") != "":
		return 40_000
	case testing.Short():
		return 60
	}
	return 400
}

// bands are the values that readings take here: between the thresholds of the
// default settings, and on them.
var bands = map[Place][]float64{
	OutdoorAir: {-12, 20},
	Collector:  {-12, 20, 75, 125},
	TankTop:    {3, 45, 80},
	TankBottom: {3, 40, 70},

	CirculationReturn: {20, 60},
	DrawFlow:          {0, 8},
	CirculationButton: {0, 1},
}

// noBand stands for a reading that is missing.
const noBand = -1

// hold is how long new readings stand: one tick, long enough to be believed,
// long enough for what takes hours.
var holds = []struct {
	steps   int
	elapsed time.Duration
}{{1, time.Second}, {5, 10 * time.Second}, {13, 10 * time.Minute}}

// position is a state of the controller with the readings that led to it.
type position struct {
	st    State
	bands []int8 // per probe
	wall  int8
}

// TestProofReachableStates visits the states that the real step can get into, breadth
// first: from each one, each reading moves to each of its bands, or is lost,
// the clock moves, or a person asks for something; and the readings stand for a
// tick, a minute or hours. What must hold in every step is looked at in each of
// them, and from each visited state quiet readings must lead to quiet.
//
// A state counts as new when a latch, an output, a doubt or the magnitude of a
// timer is new; figures are told apart by their band.
func TestProofReachableStates(t *testing.T) {
	for _, plant := range []struct {
		name    string
		systems int
		change  change
		asks    []func(*Controller)
	}{
		{"antifreeze", 1, func(*Plan) {}, nil},
		{"water", 1, waterFilled, nil},
		{"antifreeze, and a person", 1, func(*Plan) {}, asks},
		{"water, and a person", 1, waterFilled, asks},
		{"two systems", 2, func(*Plan) {}, nil},
		{"two systems, one supply", 2, func(p *Plan) { p.SupplyW = 2500 }, nil},
		{"regulated pump, heat dump, and a person", 1, func(p *Plan) { speeds(p); dumped(p) }, asks},
		{"circulation", 1, ring, nil},
	} {
		t.Run(plant.name, func(t *testing.T) {
			t.Parallel()
			w := newWalk(t, testPlan(plant.systems, plant.change, tempered))
			w.asks = plant.asks
			w.run(mostStates())
			t.Logf("proof: states visited, %s = %d states", plant.name, w.visited)
			t.Logf("proof: states known and not visited, %s = %d states", plant.name, len(w.queue))
			t.Logf("proof: steps looked at on the way, %s = %d steps", plant.name, w.steps)
			if w.visited < min(mostStates(), 1000) {
				t.Errorf("only %d states were found", w.visited)
			}
		})
	}
}

// walk is a breadth-first search.
type walk struct {
	t       testing.TB
	c       *Controller
	asks    []func(*Controller)
	shape   keyShape
	seen    map[string]bool
	queue   []position
	visited int
	steps   int

	readings []Reading
	witness  witness
	key      []byte
}

func newWalk(t testing.TB, plan Plan) *walk {
	c, err := New(plan)
	if err != nil {
		t.Fatal(err)
	}
	w := &walk{t: t, c: c, seen: map[string]bool{}, shape: newKeyShape(), readings: make([]Reading, len(plan.Probes))}
	start := position{st: copyState(&c.st), bands: make([]int8, len(plan.Probes))}
	w.meet(&start)
	return w
}

// run visits states until there are none left, or most are.
func (w *walk) run(most int) {
	for len(w.queue) > 0 && w.visited < most && !w.t.Failed() {
		at := w.queue[0]
		w.queue = w.queue[1:]
		w.visited++
		w.leave(&at)
		w.mustFallQuiet(&at)
	}
}

// leave takes every way out of a state.
func (w *walk) leave(at *position) {
	for i, pr := range w.c.plan.Probes {
		for band := noBand; band < len(bands[pr.Place]); band++ {
			if int(at.bands[i]) != band {
				w.move(at, func(p *position) { p.bands[i] = int8(band) }, nil)
			}
		}
	}
	w.move(at, func(*position) {}, nil)
	for wall := range walls {
		if int(at.wall) != wall {
			w.move(at, func(p *position) { p.wall = int8(wall) }, nil)
		}
	}
	for _, ask := range w.asks {
		w.move(at, func(*position) {}, ask)
	}
}

// walls are the times at which the walk looks: outside of the heater's windows by
// summer, inside of them by winter, and with the clock not set.
var walls = []Wall{noon, {Time: time.Date(2026, 1, 15, 18, 0, 0, 0, time.UTC), Trusted: true}, {}}

// asks are what a person, or a power cut, can do between two steps.
var asks = []func(c *Controller){
	func(c *Controller) { c.Restarted() },
	func(c *Controller) { c.SetServicing(!c.Servicing()) },
	func(c *Controller) { _ = c.Override(outPump, 1, 10*time.Minute) },
	func(c *Controller) { _ = c.Override(outHeater, 1, 10*time.Minute) },
	func(c *Controller) { _ = c.Override(outHeater, 0, 10*time.Minute) },
	func(c *Controller) { _ = c.Boost(0, 30*time.Minute) },
	func(c *Controller) { _ = c.Holiday(24 * time.Hour) },
	func(c *Controller) { _ = c.Holiday(0) },
}

// move goes from a state with changed readings, for each length of hold.
func (w *walk) move(from *position, change func(*position), ask func(*Controller)) {
	for _, hold := range holds {
		to := position{bands: slices.Clone(from.bands), wall: from.wall}
		change(&to)
		w.place(from)
		if ask != nil {
			ask(w.c)
		}
		w.read(to.bands)
		for range hold.steps {
			w.step(hold.elapsed, walls[to.wall])
		}
		to.st = w.c.st
		w.meet(&to)
	}
}

// place puts the controller into a state.
func (w *walk) place(at *position) {
	w.c.st = copyState(&at.st)
	w.c.bind()
	for _, i := range w.c.findings.live {
		w.c.findings.slots[i] = findingSlot{}
	}
	w.c.findings.live = w.c.findings.live[:0]
}

func (w *walk) read(at []int8) {
	for i, pr := range w.c.plan.Probes {
		w.readings[i] = Reading{Fault: "no answer"}
		if at[i] != noBand {
			w.readings[i] = Reading{Value: bands[pr.Place][at[i]]}
		}
	}
}

func (w *walk) step(elapsed time.Duration, wall Wall) {
	w.steps++
	w.witness.begin(w.c, elapsed)
	if what := w.witness.broken(w.c.Step(elapsed, wall, w.readings)); what != "" {
		w.t.Errorf("%s\nreadings %v", what, w.readings)
	}
}

// meet takes a state into the queue when it is new.
func (w *walk) meet(p *position) {
	w.key = w.shape.appendKey(w.key[:0], &p.st, w.c)
	for _, b := range p.bands {
		w.key = append(w.key, byte(b))
	}
	w.key = append(w.key, byte(p.wall))
	if w.seen[string(w.key)] {
		return
	}
	w.seen[string(w.key)] = true
	p.st = copyState(&p.st)
	w.queue = append(w.queue, *p)
}

// mustFallQuiet: with nothing to heat, to cool and to keep from freezing, and
// nobody asking, everything comes to rest within a day, but for a heat-up that
// is due.
func (w *walk) mustFallQuiet(at *position) {
	w.place(at)
	w.c.SetServicing(false)
	quiet := map[Place]float64{OutdoorAir: 20, Collector: 20, TankTop: 55, TankBottom: 30}
	for i, pr := range w.c.plan.Probes {
		w.readings[i] = Reading{Value: quiet[pr.Place]}
	}
	for i := range w.c.st.Systems {
		w.c.st.Systems[i].HygieneSince = 0
	}
	for range 150 {
		w.step(10*time.Minute, noon)
	}
	for range 10 { // past the end of a pump exercise that has just begun
		w.step(30*time.Second, noon)
	}
	for i := range w.c.out.Decisions {
		if d := &w.c.out.Decisions[i]; d.On() && d.Rank != Upkeep {
			w.t.Errorf("a day of quiet readings, and output %d still runs: %s", i, d.Reason)
		}
	}
}

func copyState(st *State) State {
	out := *st
	out.Systems, out.Outputs = slices.Clone(st.Systems), slices.Clone(st.Outputs)
	out.Probes, out.Overrides = slices.Clone(st.Probes), slices.Clone(st.Overrides)
	out.Findings = nil
	return out
}

// keyShape says where in the memory of rules, outputs and probes the latches and
// timers lie, so that a field that is added counts without being named here.
type keyShape struct{ system, output, override fields }

type fields struct{ flags, spans []uintptr }

func newKeyShape() keyShape {
	return keyShape{
		fieldsOf(reflect.TypeFor[SystemState](), "Energy", "Balance", "HygieneSince"),
		fieldsOf(reflect.TypeFor[OutputState](), "On", "InState", "Idle"),
		fieldsOf(reflect.TypeFor[OverrideState]()),
	}
}

func fieldsOf(of reflect.Type, without ...string) (f fields) {
	for i := range of.NumField() {
		switch field := of.Field(i); {
		case slices.Contains(without, field.Name):
		case field.Type.Kind() == reflect.Bool:
			f.flags = append(f.flags, field.Offset)
		case field.Type == reflect.TypeFor[time.Duration]():
			f.spans = append(f.spans, field.Offset)
		}
	}
	return f
}

func (f *fields) append(key []byte, of unsafe.Pointer) []byte {
	var bits uint64
	for _, at := range f.flags {
		bits <<= 1
		if *(*bool)(unsafe.Add(of, at)) {
			bits |= 1
		}
	}
	key = binary.LittleEndian.AppendUint64(key, bits)
	for _, at := range f.spans {
		key = append(key, magnitude(*(*time.Duration)(unsafe.Add(of, at))))
	}
	return key
}

// magnitude tells time spans apart by what rules wait for: nothing, something,
// the end of patience.
func magnitude(d time.Duration) byte {
	switch {
	case d == 0:
		return 0
	case d < unseenPatience:
		return 1
	}
	return 2
}

func (k *keyShape) appendKey(key []byte, st *State, c *Controller) []byte {
	for i := range st.Systems {
		key = k.system.append(key, unsafe.Pointer(&st.Systems[i]))
	}
	for i := range st.Outputs {
		o := &st.Outputs[i]
		key = k.output.append(key, unsafe.Pointer(o))
		least := c.limits[i].minRest
		state := byte(0)
		if o.Level > 0 {
			state, least = 2, c.limits[i].minRun
		}
		if o.InState >= least {
			state++
		}
		key = append(key, state)
		key = k.override.append(key, unsafe.Pointer(&st.Overrides[i]))
	}
	for i := range st.Probes {
		long := byte(0)
		if st.Probes[i].Silent >= unseenPatience {
			long = 1
		}
		key = append(key, long)
	}
	if st.Servicing {
		key = append(key, 1)
	}
	return append(key, magnitude(st.HolidayLeft))
}
