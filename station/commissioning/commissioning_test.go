package commissioning

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"strings"
	"testing"
	"time"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/planner/handover"
	"sunstoker/sensors"
	"sunstoker/site"
	"sunstoker/station"
)

// rig is a plant of figures that a test sets, with every order to an output noted.
type rig struct {
	site   *site.Site
	now    time.Duration
	values map[control.Place]func(rig *rig) float64 // system 0
	lost   map[control.Place]bool
	levels []float64
	orders []string
	fails  error        // of every order
	live   func(r *rig) // as time goes by
	folder string
}

var errLost = &sensors.Fault{Detail: "the cable is cut"}

func newRig(t *testing.T) *rig {
	s := load(t, "../demo/site.toml")
	s.StateFolder = t.TempDir()
	return &rig{
		site: s, lost: map[control.Place]bool{}, levels: make([]float64, len(s.Outputs)), folder: s.StateFolder,
		values: map[control.Place]func(*rig) float64{
			control.Collector: steady(40), control.TankTop: steady(30), control.TankBottom: steady(20), control.OutdoorAir: steady(10),
		},
	}
}

func steady(c float64) func(*rig) float64 { return func(*rig) float64 { return c } }

func (r *rig) Now() time.Duration { return r.now }

func (r *rig) Wall() control.Wall {
	return control.Wall{Time: time.Date(2026, 5, 1, 9, 0, 0, 0, time.UTC).Add(r.now), Trusted: true}
}

func (r *rig) Pass(ctx context.Context, d time.Duration) error {
	r.now += d
	if r.live != nil {
		r.live(r)
	}
	return ctx.Err()
}

// Buses, Probe and Output make a rig a simulated plant.
func (r *rig) Buses(station.Clock) []station.BusPort { return nil }

func (r *rig) Probe(i int) (sensors.Probe, error) { return rigProbe{r, r.site.Probes[i].Place}, nil }

func (r *rig) Output(i int) (actuators.Output, error) { return &rigOutput{rig: r, index: i}, nil }

type rigProbe struct {
	rig   *rig
	place control.Place
}

func (p rigProbe) Latest() sensors.Sample {
	if p.rig.lost[p.place] {
		return sensors.Sample{Taken: p.rig.now, Fault: errLost}
	}
	return sensors.Sample{Taken: p.rig.now, Value: p.rig.values[p.place](p.rig)}
}

type rigOutput struct {
	rig   *rig
	index int
}

func (o *rigOutput) Set(c actuators.Command) error {
	if o.rig.fails != nil {
		return o.rig.fails
	}
	if o.rig.levels[o.index] != c.Level {
		o.note(c.Level)
	}
	for i, level := range o.rig.levels {
		if i != o.index && level > 0 {
			o.rig.orders = append(o.rig.orders, "two at once")
		}
	}
	return nil
}

func (o *rigOutput) note(level float64) {
	o.rig.levels[o.index] = level
	o.rig.orders = append(o.rig.orders, fmt.Sprintf("%s %v", o.rig.site.Outputs[o.index].Actuator, level))
}

func (o *rigOutput) Level() float64 { return o.rig.levels[o.index] }

func (o *rigOutput) Safe() error {
	if o.rig.levels[o.index] != 0 {
		o.note(0)
	}
	return nil
}

func (o *rigOutput) Close() error { return o.Safe() }

// hand runs a hand-over on the rig with what a person types, or the answers of a
// file, until it ends.
func (r *rig) hand(ctx context.Context, o Options) (said string, record *handover.Record, err error) {
	var out bytes.Buffer
	clock := station.NewLockstep()
	o.Site, o.Time, o.Out = r.site, r, &out
	if o.Records == nil {
		o.Records = station.NewHandoverRecord(r.site)
	}
	o.Take = func() (*station.Taken, error) {
		return station.Take(r.site, clock, station.BuildOptions{Simulated: r, Log: slog.New(slog.DiscardHandler)})
	}
	record, err = Run(ctx, o)
	return out.String(), record, err
}

// typed runs it with lines that a person types.
func (r *rig) typed(t *testing.T, only string, lines ...string) (said string, record *handover.Record) {
	t.Helper()
	said, record, err := r.hand(t.Context(), Options{In: strings.NewReader(strings.Join(lines, "\n") + "\n"), Only: only})
	if err != nil {
		t.Fatalf("%v\n%s", err, said)
	}
	return said, record
}

// outcome is what came of a step.
func (r *rig) outcome(t *testing.T, record *handover.Record, key string) handover.Answer {
	t.Helper()
	step, known := handover.Named(handover.Steps(r.site), key)
	if !known {
		t.Fatalf("there is no step %q", key)
	}
	return record.Of(step)
}

// ready answers what must come before anything is switched.
func (r *rig) ready(t *testing.T) {
	t.Helper()
	for _, key := range []string{"mains wiring", "tank full", "loop filled"} {
		r.typed(t, key, "yes")
	}
	r.typed(t, "cut-out", "90 °C")
}

func TestAWarmedProbeIsRecognised(t *testing.T) {
	warms := func(place control.Place) func(*rig) {
		return func(r *rig) { r.values[place] = steady(20 + r.now.Seconds()/4) }
	}
	for _, c := range []struct {
		what    string
		live    func(*rig)
		outcome handover.Outcome
		says    string
	}{
		{"the right one", warms(control.TankBottom), handover.Done, "no other did"},
		{"another one", warms(control.TankTop), handover.Fault, "tank top that got warm"},
		{"none", nil, handover.NotProven, "No probe got warm"},
		{"it is lost at once", func(r *rig) { r.lost[control.TankBottom] = true }, handover.Fault, "the cable is cut"},
	} {
		r := newRig(t)
		r.live = c.live
		if c.what == "it is lost at once" {
			r.lost[control.TankBottom] = true
		}
		said, record := r.typed(t, "tank bottom probe", "now")
		if a := r.outcome(t, record, "tank bottom probe"); a.Outcome != c.outcome || !strings.Contains(a.Seen, c.says) {
			t.Errorf("%s: %v, %q, want %v with %q\n%s", c.what, a.Outcome, a.Seen, c.outcome, c.says, said)
		}
	}
}

// TestOutputsAreTriedAloneAndGoOff: one at a time, for its few seconds, and what the
// person has seen counts.
func TestOutputsAreTriedAloneAndGoOff(t *testing.T) {
	r := newRig(t)
	r.ready(t)
	begun := r.now
	said, record := r.typed(t, "switches", "now", "right", "now", "inverted", "")
	if got := strings.Join(r.orders, ", "); got != "loop_pump 1, loop_pump 0, backup_heater 1, backup_heater 0" {
		t.Errorf("orders: %s\n%s", got, said)
	}
	if took := r.now - begun; took != 2*holdFor {
		t.Errorf("they were on for %v in all", took)
	}
	if a := r.outcome(t, record, "loop pump switches"); a.Outcome != handover.Done {
		t.Errorf("pump: %v", a)
	}
	if a := r.outcome(t, record, "backup heater switches"); a.Outcome != handover.Fault || !strings.Contains(a.Seen, "DANGER") {
		t.Errorf("heater: %v", a)
	}
}

// TestHeaterIsNotTriedDryOrBlind: without a person's word that the tank is full,
// without a tank top reading, and in a tank at its limit no heater is switched on; one
// that is on goes off when its reading is lost.
func TestHeaterIsNotTriedDryOrBlind(t *testing.T) {
	for _, c := range []struct {
		what   string
		before func(*rig)
		says   string
	}{
		{"nobody said that the tank is full", func(r *rig) {
			steps := handover.Steps(r.site)
			step, _ := handover.Named(steps, "tank full")
			r.forget(t, step)
		}, `"tank full" is open`},
		{"the tank top is not read", func(r *rig) { r.lost[control.TankTop] = true }, "no heater is on without it"},
		{"the tank is at its limit", func(r *rig) { r.values[control.TankBottom] = steady(71) }, "let it cool first"},
	} {
		r := newRig(t)
		r.ready(t)
		c.before(r)
		said, record := r.typed(t, "backup heater switches", "now", "right")
		if len(r.orders) > 0 || !strings.Contains(said, c.says) || r.outcome(t, record, "backup heater switches").Outcome != handover.Unanswered {
			t.Errorf("%s: orders %v\n%s", c.what, r.orders, said)
		}
	}
	r := newRig(t)
	r.ready(t)
	r.typed(t, "backup heater switches", "now", "right")
	begun := r.now
	r.live = func(r *rig) { r.lost[control.TankTop] = r.now-begun > time.Minute }
	said, record := r.typed(t, "heater warms", "now", "")
	if took := r.now - begun; took > time.Minute+2*beat || r.levels[1] != 0 {
		t.Errorf("the heater was on for %v after its reading was lost\n%s", took, said)
	}
	if a := r.outcome(t, record, "heater warms the tank"); a.Outcome != handover.NotProven {
		t.Errorf("%v", a)
	}
}

// forget takes an answer back.
func (r *rig) forget(t *testing.T, step *handover.Step) {
	t.Helper()
	records := station.NewHandoverRecord(r.site)
	record, _ := records.Load()
	record.Put(handover.Answer{Step: step.Key})
	if err := records.Save(record); err != nil {
		t.Fatal(err)
	}
}

// TestATankThatWarmsTooFastEndsTheTrial: an element in air shows so, and must go off
// at once.
func TestATankThatWarmsTooFastEndsTheTrial(t *testing.T) {
	r := newRig(t)
	r.ready(t)
	r.typed(t, "backup heater switches", "now", "right")
	begun := r.now
	r.live = func(r *rig) { r.values[control.TankTop] = steady(30 + (r.now - begun).Seconds()) }
	said, record := r.typed(t, "heater warms", "now", "")
	if took := r.now - begun; took > 6*time.Second || r.levels[1] != 0 {
		t.Errorf("the heater was on for %v\n%s", took, said)
	}
	if a := r.outcome(t, record, "heater warms the tank"); a.Outcome != handover.Fault || !strings.Contains(a.Seen, "whether there is water") {
		t.Errorf("%v", a)
	}
}

func TestPumpIsNotRunIntoSteamOrIce(t *testing.T) {
	for what, c := range map[string]float64{"may be steaming": 101, "thick or frozen": -24} {
		r := newRig(t)
		r.ready(t)
		r.values[control.Collector] = steady(c)
		said, _ := r.typed(t, "loop pump switches", "now", "right")
		if len(r.orders) > 0 || !strings.Contains(said, what) {
			t.Errorf("at %g °C: orders %v\n%s", c, r.orders, said)
		}
	}
}

func TestPumpThatMovesNoHeat(t *testing.T) {
	for _, c := range []struct {
		what      string
		collector func(*rig) float64
		outcome   handover.Outcome
	}{
		{"it gives its heat", func(r *rig) float64 { return 20 + 50/(1+r.levels[0]*r.now.Seconds()/60) }, handover.Done},
		{"it keeps its heat", steady(70), handover.Fault},
		{"there is no sun", steady(24), handover.NotProven},
	} {
		r := newRig(t)
		r.ready(t)
		r.typed(t, "loop pump switches", "now", "right")
		r.values[control.Collector] = c.collector
		said, record := r.typed(t, "pump moves", "now", "")
		if a := r.outcome(t, record, "pump moves heat"); a.Outcome != c.outcome || r.levels[0] != 0 {
			t.Errorf("%s: %v, want %v\n%s", c.what, a, c.outcome, said)
		}
	}
}

// TestWhatEndsItDrivesOff: an end signal and an output that fails leave nothing on.
func TestWhatEndsItDrivesOff(t *testing.T) {
	r := newRig(t)
	r.ready(t)
	ctx, stop := context.WithCancel(t.Context())
	r.live = func(*rig) { stop() }
	said, record, err := r.hand(ctx, Options{In: strings.NewReader("now\nright\n"), Only: "loop pump switches"})
	if err != nil || r.levels[0] != 0 || len(r.orders) != 2 || r.outcome(t, record, "loop pump switches").Outcome != handover.Unanswered {
		t.Errorf("%v, orders %v\n%s", err, r.orders, said)
	}

	r = newRig(t)
	r.ready(t)
	r.fails = errors.New("GPIO17 is held by another program")
	_, record = r.typed(t, "loop pump switches", "now", "")
	if a := r.outcome(t, record, "loop pump switches"); a.Outcome != handover.Fault || !strings.Contains(a.Seen, "held by another program") {
		t.Errorf("%v", a)
	}
}

// TestItGoesOnAfterABreak: every answer is on the disk, and what was answered is not
// asked again.
func TestItGoesOnAfterABreak(t *testing.T) {
	r := newRig(t)
	r.typed(t, "", "A. Rossi", "B. Bianchi")
	said, record := r.typed(t, "", "gibberish", "2026-05-01", "perhaps", "no", "no because the breaker is missing")
	for _, words := range []string{"37 to do now", `"gibberish" is no day`, `"perhaps" is neither yes nor no`, "a no needs its reason"} {
		if !strings.Contains(said, words) {
			t.Errorf("it does not say %q\n%s", words, said)
		}
	}
	if a := r.outcome(t, record, "installer"); a.Said != "A. Rossi" {
		t.Errorf("%v", a)
	}
	if a := r.outcome(t, record, "mains wiring"); a.Outcome != handover.Fault {
		t.Errorf("%v", a)
	}
	// What is not in order is asked anew only when that is wanted.
	said, _ = r.typed(t, "")
	if strings.Contains(said, "breaker and earthing") {
		t.Errorf("it asks again:\n%s", said)
	}
	again, _, err := r.hand(t.Context(), Options{In: strings.NewReader("yes\n"), Again: true})
	if err != nil || !strings.Contains(again, "breaker and earthing") {
		t.Errorf("%v: it does not ask again:\n%s", err, again)
	}
}

// TestAPersonSigns: whoever was named signs, and a changed answer takes that away.
func TestAPersonSigns(t *testing.T) {
	r := newRig(t)
	said, _, err := r.hand(t.Context(), Options{In: strings.NewReader("A. Rossi\n"), Only: "signature"})
	if err != nil || !strings.Contains(said, "nobody is named") {
		t.Errorf("%v\n%s", err, said)
	}
	r.typed(t, "installer", "A. Rossi")
	_, record := r.typed(t, "signature", "somebody", "a. rossi")
	if !record.IsSigned() {
		t.Error("it is not signed")
	}
	if _, record = r.typed(t, "owner", "B. Bianchi"); record.IsSigned() {
		t.Error("it is still signed after an answer has changed")
	}
}

// TestADaemonThatRuns: what needs no plant is asked all the same, and the rest says
// what to do.
func TestADaemonThatRuns(t *testing.T) {
	r := newRig(t)
	r.ready(t)
	clock := station.NewLockstep()
	daemon, err := station.Take(r.site, clock, station.BuildOptions{Simulated: r, Log: slog.New(slog.DiscardHandler)}) // holds what a daemon holds
	if err != nil {
		t.Fatal(err)
	}
	defer daemon.Close()
	said, record, err := r.hand(t.Context(), Options{Answers: handover.Answers{"loop pump switches": "right", "backup heater switches": "right", "owner shown": "yes"}})
	if err == nil || strings.Count(err.Error(), "stop it first") != 1 || !strings.Contains(said, "stays open") {
		t.Errorf("%v\n%s", err, said)
	}
	if a := r.outcome(t, record, "owner shown"); a.Outcome != handover.Done || len(r.orders) > 0 {
		t.Errorf("%v, orders %v", a, r.orders)
	}
}

// TestATornRecordIsSetAside: it is told, and the copy of before counts.
func TestATornRecordIsSetAside(t *testing.T) {
	r := newRig(t)
	r.typed(t, "installer", "A. Rossi")
	r.typed(t, "owner", "B. Bianchi")
	path := r.folder + "/handover"
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, text[:len(text)-5], 0o644); err != nil {
		t.Fatal(err)
	}
	said, record, err := r.hand(t.Context(), Options{In: strings.NewReader("")})
	if err != nil || !strings.Contains(said, "checksum is wrong") || !strings.Contains(said, "handover.broken") {
		t.Errorf("%v\n%s", err, said)
	}
	if r.outcome(t, record, "installer").Said != "A. Rossi" || r.outcome(t, record, "owner").Said != "" {
		t.Errorf("the copy of before does not count: %v", record)
	}
}

// TestAFullCardIsTold: no answer is lost without a word.
func TestAFullCardIsTold(t *testing.T) {
	r := newRig(t)
	_, _, err := r.hand(t.Context(), Options{In: strings.NewReader("A. Rossi\n"), Records: fullCard{}})
	if !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("%v", err)
	}
}

type fullCard struct{}

func (fullCard) Load() (*handover.Record, []string) { return nil, nil }
func (fullCard) Save(*handover.Record) error        { return io.ErrShortWrite }

// TestAPlantWithoutOutputs: there is nothing to switch, and nothing keeps a daemon
// from watching it.
func TestAPlantWithoutOutputs(t *testing.T) {
	s := load(t, "../../deploy/package/site.toml")
	for _, step := range handover.Steps(s) {
		if step.Form == handover.Switch || step.Key == "mains wiring" {
			t.Errorf("it asks for %s", step.Key)
		}
	}
	var none *handover.Record
	if bars := none.Bars(s); len(bars) > 0 {
		t.Errorf("%v", bars)
	}
}

// TestPicturesAreLookedAt: a file that is not there is told at once.
func TestPicturesAreLookedAt(t *testing.T) {
	r := newRig(t)
	said, record := r.typed(t, "photos", "nowhere.jpg", "testdata/houses/picture.txt")
	photos := r.outcome(t, record, "photos").Photos
	// The sum is that of the shell's sha256sum.
	if !strings.Contains(said, "nowhere.jpg can't be read") || len(photos) != 1 || !strings.HasPrefix(photos[0].SHA256, pictureSum) {
		t.Errorf("%v\n%s", photos, said)
	}
}

// pictureSum begins what "sha256sum testdata/houses/picture.txt" writes.
const pictureSum = "2dfbf19eb664c3fb"
