package control

import (
	"math"
	"os"
	"reflect"
	"slices"
	"testing"
	"time"
	"unsafe"
)

// mostStates is how many states are visited in each plant at most: a first look
// in every test run, and all there are in `make proof`.
func mostStates() int {
	switch {
	case os.Getenv("SUNSTOKER_PROOF") != "":
		return math.MaxInt
	case testing.Short():
		return 60
	}
	return 200
}

// missing stands for a reading that is not there.
const missing = -1

// visit is a plant that is small enough for all its states to be visited: one
// part of a house, by what TestPartsDecideAlone says, or some that look at each
// other.
type visit struct {
	name  string
	plan  Plan
	bands map[Place][]float64 // between the thresholds of the settings, and on them
	asks  []func(*Controller)
	turns []turn
}

var (
	heaterBands   = map[Place][]float64{TankTop: {3, 25, 32, 44, 50, 56, 61, 63, 80}, TankBottom: {0.5, 30, 80}}
	fewTops       = map[Place][]float64{TankTop: {25, 61, 80}}
	pumpBands     = map[Place][]float64{Collector: {-12, 20, 75, 105, 125}, TankTop: {45, 80}, TankBottom: {3, 40, 69}}
	savingBands   = map[Place][]float64{Collector: {20, 48, 52, 75, 105}, TankBottom: {40, 57}}
	sunBands      = map[Place][]float64{TankTop: {25, 50, 61}, TankBottom: {30}}
	frostTops     = map[Place][]float64{TankTop: {3, 25}}
	seriesTops    = map[Place][]float64{TankTop: {25, 61}}
	fewBands      = map[Place][]float64{Collector: {20, 75, 125}, TankBottom: {40, 80}}
	coldBands     = map[Place][]float64{OutdoorAir: {-22, -19.5, 20}, Collector: {-22, -19.5, -10, 125}, TankBottom: {4, 40, 80}}
	waterBands    = map[Place][]float64{OutdoorAir: {-8, 20}, Collector: {-8, 5, 75, 125}, TankBottom: {4, 40}}
	fewWaterBands = map[Place][]float64{Collector: {-8, 125}, TankBottom: {40}}
	dumpBands     = map[Place][]float64{Collector: {20, 75, 125}, TankTop: {45, 80}, TankBottom: {40, 69}}
	ringBands     = map[Place][]float64{TankTop: {30, 51, 61}, CirculationReturn: {20, 50}, DrawFlow: {0, 8}}
)

// visits are the plants.
func visits() []visit {
	heater := partOf(testPlan(1, cheapNights, tempered), heaterPart)
	oneProbe := partOf(heater, topsPart)
	midday := func(p *Plan) { p.Systems[0].Settings.HygieneWindows = Windows{{10 * 60, 13 * 60}} }
	sunny := partOf(testPlan(1, tempered, withTank, sure(95), midday), heaterPart)
	two := func(changes ...change) Plan { return partOf(testPlan(2, append(changes, tempered)...), topsPart) }
	supply := func(p *Plan) { p.SupplyW = 2500 }
	pump := func(changes ...change) Plan {
		return partOf(testPlan(1, append(changes, withoutProbe(OutdoorAir))...), pumpPart)
	}
	cools := func(p *Plan) { p.Systems[0].Settings.NightCoolingC = 65 }
	few := pump(withoutProbe(TankTop))
	return []visit{
		{"heater", heater, heaterBands, nil, nil},
		{"heater, switched by hand and serviced", oneProbe, fewTops, handles(0), nil},
		{"heater, hot water now and holiday", oneProbe, fewTops, wishes, nil},
		{"heater, tank top that may stand still", oneProbe, fewTops, nil, topTurns},
		{"heater that waits for the sun", sunny, sunBands, nil, sunTurns},
		{"two heaters, one supply", two(supply), fewTops, nil, nil},
		{"two heaters, one supply, frost at the tanks", two(supply), frostTops, nil, nil},
		{"two heaters, tanks in series", two(inSeries), seriesTops, nil, nil},
		{"pump, antifreeze", pump(), pumpBands, nil, loopTurns},
		{"pump, antifreeze, spared", pump(withoutProbe(TankTop), spared), savingBands, nil, savingTurns},
		{"pump, antifreeze at its end", partOf(testPlan(1, withoutProbe(TankTop)), pumpPart), coldBands, nil, loopTurns},
		{"pump, antifreeze, night cooling", pump(cools), pumpBands, nil, loopTurns},
		{"pump, antifreeze, switched by hand and serviced", few, fewBands, handles(0), loopTurns},
		{"regulated pump, heat dump", pump(speeds, dumped), dumpBands, nil, loopTurns},
		{"regulated pump, spared", pump(withoutProbe(TankTop), speeds, spared), savingBands, nil, savingTurns},
		{"pump, water", partOf(testPlan(1, waterFilled, withoutProbe(TankTop)), pumpPart), waterBands, nil, nil},
		{"pump, water, switched by hand and serviced", partOf(testPlan(1, waterFilled, withoutProbe(TankTop), withoutProbe(OutdoorAir)), pumpPart), fewWaterBands, handles(0), nil},
		{"circulation", partOf(testPlan(1, ring, withoutProbe(CirculationButton)), ringPart), ringBands, nil, nil},
	}
}

// TestProofReachableStates visits all states that the real step can get into, breadth
// first, and looks in each step at what must always hold; and from each state
// quiet readings must lead to quiet.
//
// From a state each reading moves to each of its bands, has a bad sample, or is lost,
// by day, by night, in and out of windows, and without a clock; each
// timer comes to its next border, before all others; and a person asks for
// something. A state is told by its latches, its outputs, the readings that led to
// it, and by the side on which each timer is of each border that a rule looks at.
//
// What is left out, and why it does no harm, or which other test looks there:
//   - Times between two borders are one. Their order is free here: each may be the
//     next to pass, so that more is visited than can happen. Two that pass in the
//     very same step are seen by TestInvariants alone.
//   - A reading takes the values of its bands, which lie on both sides of each
//     threshold of the settings that are used here. Others are drawn at random by
//     TestInvariants.
//   - A new value is believed when it comes. A doubted one is to a rule what a bad
//     sample is, which is visited; judging itself is looked at in judge_test.go
//     and by sweeps.
//   - Findings and learned figures are told apart as far as rules look at them, and
//     may turn at any time here: reach_turns_test.go.
//   - The parts of a house are visited by themselves. TestPartsDecideAlone holds
//     that they decide as they do in the whole.
func TestProofReachableStates(t *testing.T) {
	for _, v := range visits() {
		t.Run(v.name, func(t *testing.T) {
			t.Parallel()
			w := newWalk(t, &v)
			w.run(mostStates())
			t.Logf("proof: states reached, %s = %d states", v.name, len(w.seen))
			t.Logf("proof: ways looked at between them, %s = %d ways", v.name, w.edges)
			if w.visited < min(mostStates(), 300) { // some plants have no more
				t.Errorf("only %d states were found", w.visited)
			}
		})
	}
}

// position is a state of the controller with the readings that led to it.
type position struct {
	st    State
	bands []int8 // per probe
}

// walk is a breadth-first search.
type walk struct {
	t     testing.TB
	c     *Controller
	visit *visit
	bands [][]float64 // per probe

	systems, outputs, probes []lens
	override                 lens
	seen                     map[string]bool
	queue                    []position
	visited, edges           int

	readings []Reading
	witness  witness
	key      []byte
}

func newWalk(t testing.TB, v *visit) *walk {
	c, err := New(v.plan)
	if err != nil {
		t.Fatal(err)
	}
	w := &walk{t: t, c: c, visit: v, seen: map[string]bool{}, readings: make([]Reading, len(v.plan.Probes))}
	for i := range c.systems {
		w.systems = append(w.systems, newLens(t, reflect.TypeFor[SystemState](), timersOfSystem(c.systems[i].set, c.systems[i].heatBudget)))
	}
	for i, o := range v.plan.Outputs {
		water := v.plan.Systems[o.System].WaterFilled
		w.outputs = append(w.outputs, newLens(t, reflect.TypeFor[OutputState](), timersOfOutput(o.Actuator, water, &c.limits[i])))
	}
	for i, pr := range v.plan.Probes {
		w.probes = append(w.probes, newLens(t, reflect.TypeFor[ProbeState](), timersOfProbe(pr.Place, v.plan.Systems[0].WaterFilled, c.watches[i].set)))
		w.bands = append(w.bands, v.bands[pr.Place])
	}
	w.override = newLens(t, reflect.TypeFor[OverrideState](), map[string]any{"Left": runsOut})
	start := position{st: copyState(&c.st), bands: make([]int8, len(v.plan.Probes))}
	w.meet(&start)
	return w
}

// run visits states until there are none left, or most are.
func (w *walk) run(most int) {
	for len(w.queue) > 0 && w.visited < most && !w.t.Failed() {
		at := w.queue[0]
		w.queue[0] = position{}
		w.queue = w.queue[1:]
		w.visited++
		w.leave(&at)
		w.mustFallQuiet(&at)
	}
}

// walls are the times at which the walk looks: outside of all windows by summer,
// inside of the heater's by winter, in a winter's night of cheap power, and with
// the clock not set.
var walls = []Wall{
	noon, {Time: time.Date(2026, 1, 15, 18, 0, 0, 0, time.UTC), Trusted: true},
	{Time: time.Date(2026, 1, 15, 23, 0, 0, 0, time.UTC), Trusted: true}, {},
}

// leave takes every way out of a state, at every time.
func (w *walk) leave(at *position) {
	for _, wall := range walls {
		for i := range w.bands {
			for band := missing; band < len(w.bands[i]); band++ {
				to := int8(band)
				w.move(at, wall, settles, func(p *position) { p.bands[i] = to })
			}
			w.badSample(at, wall, i)
		}
		w.eachTimer(func(ripen func() bool) { w.ripe(at, wall, ripen) })
	}
	for _, ask := range w.visit.asks {
		w.move(at, noon, moment, func(*position) { ask(w.c) })
	}
}

// How new readings stand: for a tick, or until they are believed.
var (
	moment  = []time.Duration{time.Second}
	settles = []time.Duration{time.Second, 10 * time.Second, 10 * time.Second, 10 * time.Second, 10 * time.Second}
)

// move goes from a state with changed readings or wishes.
func (w *walk) move(from *position, wall Wall, steps []time.Duration, change func(*position)) {
	to := position{bands: slices.Clone(from.bands)}
	w.place(from)
	change(&to)
	w.goOn(&to, wall, steps)
}

// badSample lets a reading fail for a tick, so that its last value stands in.
func (w *walk) badSample(from *position, wall Wall, probe int) {
	w.place(from)
	w.read(from.bands)
	w.readings[probe] = Reading{Fault: "no answer"}
	w.step(time.Second, wall)
	to := position{bands: slices.Clone(from.bands)}
	w.goOn(&to, wall, moment)
}

// ripe goes from a state in which a timer comes to its next border.
func (w *walk) ripe(from *position, wall Wall, ripen func() bool) {
	w.place(from)
	if ripen() {
		to := position{bands: slices.Clone(from.bands)}
		w.goOn(&to, wall, moment)
	}
}

func (w *walk) goOn(to *position, wall Wall, steps []time.Duration) {
	w.edges++
	w.read(to.bands)
	for _, elapsed := range steps {
		w.step(elapsed, wall)
	}
	to.st = w.c.st
	w.meet(to)
}

// eachTimer gives, one by one, what brings a timer of the controller to its next
// border.
func (w *walk) eachTimer(try func(ripen func() bool)) {
	each := func(l *lens, of func() unsafe.Pointer) {
		for k := range l.timers {
			try(func() bool { return l.timers[k].almost(of()) })
		}
	}
	for i := range w.systems {
		each(&w.systems[i], func() unsafe.Pointer { return unsafe.Pointer(&w.c.st.Systems[i]) })
		for _, turn := range w.visit.turns {
			try(func() bool { return turn(w.c, &w.c.systems[i]) })
		}
	}
	for i := range w.outputs {
		l := &w.outputs[i]
		for k := range l.timers {
			try(func() bool {
				o := &w.c.st.Outputs[i]
				ripe := l.timers[k].almost(unsafe.Pointer(o))
				if o.Level == 0 {
					o.Idle = max(o.Idle, o.InState)
				} else if l.timers[k].name == "Idle" {
					return false
				}
				return ripe
			})
		}
		each(&w.override, func() unsafe.Pointer { return unsafe.Pointer(&w.c.st.Overrides[i]) })
	}
	for i := range w.probes {
		each(&w.probes[i], func() unsafe.Pointer { return unsafe.Pointer(&w.c.st.Probes[i]) })
	}
	try(func() bool {
		away := w.c.st.HolidayLeft > 0
		w.c.st.HolidayLeft = min(w.c.st.HolidayLeft, time.Second)
		return away
	})
}

// handles is what a person at the plant, or a power cut, can do between two steps;
// wishes are what a person in the house can ask for.
func handles(output int) []func(c *Controller) {
	return []func(c *Controller){
		func(c *Controller) { c.Restarted() },
		func(c *Controller) { c.SetServicing(!c.Servicing()) },
		func(c *Controller) { _ = c.Override(output, 1, 10*time.Minute) },
		func(c *Controller) { _ = c.Override(output, 0, 10*time.Minute) },
	}
}

var wishes = []func(c *Controller){
	func(c *Controller) { _ = c.Boost(0, 30*time.Minute) },
	func(c *Controller) { _ = c.Holiday(24 * time.Hour) },
	func(c *Controller) { _ = c.Holiday(0) },
}

// place puts the controller into a state.
func (w *walk) place(at *position) {
	w.c.st = copyState(&at.st)
	w.c.bind()
	for i := range w.c.st.Systems { // a tank top moves by its last digit: what stands still proves no heat-up and changes nothing
		w.c.st.Systems[i].HygieneTopC = 0
	}
	for _, i := range w.c.findings.live {
		w.c.findings.slots[i] = findingSlot{}
	}
	w.c.findings.live = w.c.findings.live[:0]
}

func (w *walk) read(at []int8) {
	for i := range w.bands {
		w.readings[i] = Reading{Fault: "no answer"}
		if at[i] != missing {
			w.readings[i] = Reading{Value: w.bands[i][at[i]]}
		}
	}
}

func (w *walk) step(elapsed time.Duration, wall Wall) {
	w.witness.begin(w.c, elapsed)
	if what := w.witness.broken(w.c.Step(elapsed, wall, w.readings)); what != "" {
		w.t.Errorf("%s\nreadings %v", what, w.readings)
	}
}

// meet takes a state into the queue when it is new.
func (w *walk) meet(p *position) {
	w.key = w.appendKey(w.key[:0], &p.st)
	for _, b := range p.bands {
		w.key = append(w.key, byte(b))
	}
	if w.seen[string(w.key)] {
		return
	}
	w.seen[string(w.key)] = true
	p.st = copyState(&p.st)
	w.queue = append(w.queue, *p)
}

func (w *walk) appendKey(key []byte, st *State) []byte {
	for i := range st.Systems {
		s := &st.Systems[i]
		key = w.systems[i].appendKey(key, unsafe.Pointer(s))
		key = value16(key, s.HeaterLowC)
		key = value16(key, s.DumpFromC)
		key = append(key, speed(s.PumpSpeed, 0.3))
		key = w.c.systems[i].appendTurns(key, s)
		key = append(key, byte(s.FrostVain))
	}
	for i := range st.Outputs {
		o := &st.Outputs[i]
		key = w.outputs[i].appendKey(key, unsafe.Pointer(o))
		key = append(key, speed(o.Level, 0))
		key = w.override.appendKey(key, unsafe.Pointer(&st.Overrides[i]))
		key = value16(key, st.Overrides[i].Level)
	}
	for i := range st.Probes {
		key = w.probes[i].appendKey(key, unsafe.Pointer(&st.Probes[i]))
		if p := &st.Probes[i]; w.visit.plan.Probes[i].Place == Collector && !p.Known && p.Last < w.c.watches[i].set.TankLimitC {
			key = append(key, 'c') // what a lost collector was last, still counts
		}
	}
	if st.Servicing {
		key = append(key, 's')
	}
	if st.HolidayLeft > 0 {
		key = append(key, 'h')
	}
	return key
}

// mustFallQuiet: with nothing to heat, to cool and to keep from freezing, and
// nobody asking, everything comes to rest within a day, but for a heat-up that
// is due.
func (w *walk) mustFallQuiet(at *position) {
	w.place(at)
	w.c.SetServicing(false)
	quiet := map[Place]float64{OutdoorAir: 20, Collector: 20, TankTop: 55, TankBottom: 30, CirculationReturn: 50}
	for i, pr := range w.c.plan.Probes {
		w.readings[i] = Reading{Value: quiet[pr.Place]}
	}
	for i := range w.c.st.Systems {
		w.c.st.Systems[i].HygieneSince = 0
	}
	for range 24 {
		w.step(time.Hour, noon)
	}
	for range 35 { // a heat-up of pipes counts in steps that somebody can vouch for
		w.step(longestVouched, noon)
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
