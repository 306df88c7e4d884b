package station

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sensors"
)

func TestTicksComeOnceASecond(t *testing.T) {
	r := newRig(t)
	r.start()
	r.to(10*time.Second + 500*time.Millisecond)
	if n := r.kept.count(); n != 11 {
		t.Fatalf("%d ticks from 0 to 10.5 s, not 11", n)
	}
	for i, tk := range r.kept.ticks {
		if tk.Number != uint64(i+1) || tk.At != time.Duration(i)*time.Second || tk.Late != 0 || tk.Took != 0 {
			t.Errorf("tick %d is number %d at %v, late %v, took %v", i, tk.Number, tk.At, tk.Late, tk.Took)
		}
		if want := noon.Add(tk.At); !tk.Wall.Time.Equal(want) || !tk.Wall.Trusted {
			t.Errorf("tick %d has the wall clock at %v, not %v", i, tk.Wall, want)
		}
	}
	if got := r.kept.last().Service; got != 10*time.Second {
		t.Errorf("service of %v after 10 s", got)
	}
	for _, o := range r.outputs {
		if o.sets != 11 {
			t.Errorf("%s was driven %d times in 11 ticks", o.name, o.sets)
		}
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
}

func TestDueAfter(t *testing.T) {
	s := time.Second
	for _, c := range []struct{ due, now, want time.Duration }{
		{0, 0, s},
		{s, s + 10*time.Millisecond, 2 * s},
		{s, 2*s - 1, 2 * s},
		{s, 2 * s, 3 * s},
		{s, 5*s + s/2, 6 * s},
		{s / 3, s / 3, s/3 + s},
		{2 * s, s, 3 * s}, // woken early, which no clock does
	} {
		if got := dueAfter(c.due, c.now); got != c.want {
			t.Errorf("after a tick due at %v and made at %v comes %v, not %v", c.due, c.now, got, c.want)
		}
	}
}

func TestTheTickShowsDecisionsAndWhatBecameOfThem(t *testing.T) {
	r := newRig(t)
	r.start()
	r.to(130 * time.Second) // the minimum rest from the start is over
	r.probes[collectorAt].set(70)
	r.to(160 * time.Second) // and the jump of the collector is believed
	tk := r.kept.last()
	pump := tk.Outputs[pumpAt]
	if pump.Level != 1 || pump.Driven != 1 || pump.Switchings != 1 || len(pump.Votes) == 0 {
		t.Fatalf("collector 20 K hotter than the tank, pump: %+v", pump)
	}
	if r.outputs[pumpAt].Level() != 1 || r.outputs[heaterAt].Level() != 0 {
		t.Error("the pump was not driven on, or the heater was")
	}
	reading := tk.Readings[collectorAt]
	if reading.Value != 70 || reading.Quality != control.Good || reading.Kind != "fake" || reading.Raw != "raw" {
		t.Errorf("collector shown as %+v", reading)
	}
	if tk.House.Name != "test house" || tk.House.Version != "of tests" || tk.House.Plan.Systems[0].Name != "roof" {
		t.Errorf("house shown as %+v", tk.House)
	}
	if text := r.log.String(); !strings.Contains(text, "loop pump on") || !strings.Contains(text, "hotter than the tank bottom") {
		t.Error("the switching and its reason are not in the log")
	}
}

func TestATickNeverChangesOnceHandedOver(t *testing.T) {
	r := newRig(t)
	r.probes[collectorAt].set(70)
	r.start()
	r.to(130 * time.Second)
	early := r.kept.last()
	if len(early.Outputs[pumpAt].Votes) == 0 {
		t.Fatal("the pump runs without a vote")
	}
	votes, level := early.Outputs[pumpAt].Votes[0], early.Outputs[pumpAt].Level
	value := early.Readings[collectorAt].Value
	number := len(early.Outputs[pumpAt].Votes)
	r.probes[collectorAt].set(90)
	r.to(260 * time.Second)
	if got := early.Outputs[pumpAt]; got.Level != level || len(got.Votes) != number || got.Votes[0] != votes {
		t.Errorf("an old tick's pump changed to %+v", got)
	}
	if early.Readings[collectorAt].Value != value {
		t.Error("an old tick's reading changed")
	}
}

func TestMinimumTimesOfControllerAndOutputAgree(t *testing.T) {
	r := newRig(t)
	r.start()
	level := 59.0
	for at := time.Duration(0); at < 30*time.Minute; at += 7 * time.Second {
		r.probes[collectorAt].set(level)
		level = 110 - level // 59 and 51 in turn: as much chatter as is believed
		r.to(at)
	}
	switched := false
	for _, tk := range r.kept.ticks {
		if o := tk.Outputs[pumpAt]; o.Driven != o.Level {
			t.Fatalf("at %v the pump was decided %g and driven %g", tk.At, o.Level, o.Driven)
		}
		switched = switched || tk.Outputs[pumpAt].Switchings > 2
	}
	if !switched {
		t.Fatal("the pump did not switch, so nothing was shown")
	}
}

// TestAnOutputThatFallsOffIsNotDrivenAtOnce: a relay that goes off by itself is left
// off for its minimum rest whatever is decided, which is counted once each time.
func TestAnOutputThatFallsOffIsNotDrivenAtOnce(t *testing.T) {
	r := newRig(t)
	r.start()
	r.probes[collectorAt].set(80)
	r.to(4 * time.Minute)
	if o := r.kept.last().Outputs[pumpAt]; o.Driven != 1 || o.Refused != 0 {
		t.Fatalf("the pump is driven %g, and %d switchings were held back", o.Driven, o.Refused)
	}
	for fell := range uint64(2) {
		if err := r.outputs[pumpAt].Safe(); err != nil {
			t.Fatal(err)
		}
		at := r.kept.last().At
		r.to(at + 10*time.Second)
		if o := r.kept.last().Outputs[pumpAt]; o.Level != 1 || o.Driven != 0 || o.Refused != fell+1 {
			t.Errorf("it fell off: decided %g, driven %g, %d switchings held back", o.Level, o.Driven, o.Refused)
		}
		r.to(at + 5*time.Minute)
		if o := r.kept.last().Outputs[pumpAt]; o.Driven != 1 || o.Refused != fell+1 {
			t.Errorf("it has rested: driven %g, %d switchings held back", o.Driven, o.Refused)
		}
	}
}

func TestAFaultyProbe(t *testing.T) {
	r := newRig(t)
	r.start()
	r.probes[tankTopAt].mu.Lock()
	r.probes[tankTopAt].fault, r.probes[tankTopAt].value = sensors.Silent, math.NaN()
	r.probes[tankTopAt].mu.Unlock()
	r.to(2 * time.Minute)
	reading := r.kept.last().Readings[tankTopAt]
	if reading.Quality != control.Missing || reading.Fault != sensors.Silent.Error() {
		t.Errorf("a silent tank top is shown as %+v", reading)
	}
	if !r.hasFinding(control.FoundProbeSilent) {
		t.Error("no finding")
	}
}

func TestAnOutputThatCannotBeDriven(t *testing.T) {
	r := newRig(t)
	r.start()
	r.outputs[pumpAt].change(func(o *fakeOutput) { o.fails = errors.New("the expander is gone") })
	r.to(2 * time.Minute)
	tk := r.kept.last()
	if got := tk.Outputs[pumpAt].Fault; got != "the expander is gone" {
		t.Errorf("fault shown as %q", got)
	}
	if tk.Outputs[heaterAt].Fault != "" || !r.hasFinding(control.FoundOutputFault) {
		t.Errorf("findings %+v", tk.Findings)
	}
	if n := strings.Count(r.log.String(), "loop pump could not be driven"); n != 1 {
		t.Errorf("told %d times in the log", n)
	}
	r.outputs[pumpAt].change(func(o *fakeOutput) { o.fails = nil })
	r.to(2 * time.Hour)
	if r.kept.last().Outputs[pumpAt].Fault != "" || r.hasFinding(control.FoundOutputFault) {
		t.Error("the fault stays though the output is driven again")
	}
}

func TestALineThatReadsBackOtherwise(t *testing.T) {
	r := newRig(t)
	order := &events{}
	var differs error
	r.ports.Banks = []Bank{{Name: "chip", Outputs: []int{pumpAt, heaterAt}, ReadBack: func() error {
		order.add("read back after %d drives", r.outputs[pumpAt].sets)
		return differs
	}}}
	r.start()
	r.to(2 * time.Second)
	if got := order.all(); got[0] != "read back after 0 drives" || got[2] != "read back after 2 drives" {
		t.Errorf("lines must be read back before they are driven anew: %q", got)
	}
	differs = errors.New("another hand on the line")
	r.to(2 * time.Minute)
	for _, o := range r.kept.last().Outputs {
		if o.Fault != "another hand on the line" {
			t.Errorf("fault shown as %q", o.Fault)
		}
	}
	if !r.hasFinding(control.FoundOutputFault) {
		t.Error("no finding")
	}
}

func TestAStuckBus(t *testing.T) {
	r := newRig(t)
	bus := &stuckBus{release: make(chan struct{})}
	defer close(bus.release)
	r.ports.Buses = []BusPort{{Bus: bus}}
	r.start()
	r.to(2 * time.Minute)
	if n := r.kept.count(); n != 121 {
		t.Errorf("%d ticks in 2 min beside a stuck bus", n)
	}
	if !r.hasFinding(control.FoundBusStuck) {
		t.Errorf("findings %+v", r.kept.last().Findings)
	}
}
