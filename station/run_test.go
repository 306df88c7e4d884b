package station

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
	"testing/synctest"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// eventDisk notes when the state is saved.
type eventDisk struct {
	*cardDisk
	events *events
}

func (d eventDisk) syncFolder(path string) error {
	d.events.add("state saved")
	return d.cardDisk.syncFolder(path)
}

func TestTheWayOut(t *testing.T) {
	r := newRig(t)
	r.options.disk = eventDisk{newCardDisk(), r.events}
	serves := make(chan struct{})
	r.options.Services = []Service{{"page", func(ctx context.Context) error {
		close(serves)
		<-ctx.Done()
		r.events.add("page stopped")
		return nil
	}}}
	r.start()
	<-serves // one that has not begun as the end comes has nothing to stop
	r.to(3 * time.Second)
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	got := r.events.all()
	slices.Sort(got[1:3]) // both outputs at the same time
	want := []string{"state saved", "heater off for good", "pump off for good", "state saved", "page stopped"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestAnEndSignal(t *testing.T) {
	first, second, stop := Signals(context.Background())
	defer stop()
	if err := syscall.Kill(os.Getpid(), syscall.SIGTERM); err != nil {
		t.Fatal(err)
	}
	<-first.Done()
	if second.Err() != nil {
		t.Fatal("the first signal counts twice")
	}
	if err := syscall.Kill(os.Getpid(), syscall.SIGINT); err != nil {
		t.Fatal(err)
	}
	<-second.Done()
}

func TestASecondSignalCutsWaitingShort(t *testing.T) {
	r := newRig(t)
	r.options.disk = newCardDisk()                 // the last save is not waited for
	r.outputs[pumpAt].closes = make(chan struct{}) // its driver hangs
	defer close(r.outputs[pumpAt].closes)
	r.start()
	r.hurry()
	err := r.end()
	if !errors.Is(err, context.Canceled) || !strings.Contains(r.log.String(), "not every output is known to be off") {
		t.Errorf("got %v", err)
	}
	if !slices.Contains(r.events.all(), "heater off for good") && r.outputs[heaterAt].Level() != 0 {
		t.Error("the other output was not driven off")
	}
}

func TestAPanicInATick(t *testing.T) {
	r := newRig(t)
	r.start()
	r.to(130 * time.Second)
	r.probes[collectorAt].set(70)
	r.to(160 * time.Second)
	if r.outputs[pumpAt].Level() != 1 {
		t.Fatal("the pump does not run")
	}
	r.probes[collectorAt].mu.Lock()
	r.probes[collectorAt].panic = true
	r.probes[collectorAt].mu.Unlock()
	saved, err := os.ReadFile(filepath.Join(r.options.StateFolder, "state"))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.clock.Advance(context.Background(), 161*time.Second, control.Wall{}); err != nil {
		t.Fatal(err)
	}
	<-r.ended
	if r.err == nil || !strings.Contains(r.err.Error(), "the tick panicked: a probe of straw") {
		t.Errorf("Run gives %v", r.err)
	}
	for _, o := range r.outputs {
		if o.Level() != 0 || !o.closed {
			t.Errorf("%s is at %g, closed %v", o.name, o.Level(), o.closed)
		}
	}
	if text := r.log.String(); !strings.Contains(text, "fakes_test.go") {
		t.Error("the stack is not in the log")
	}
	after, err := os.ReadFile(filepath.Join(r.options.StateFolder, "state"))
	if err != nil || !bytes.Equal(saved, after) {
		t.Error("a controller that was stopped in its middle was saved")
	}
}

// wildBus panics as soon as it is run.
type wildBus struct{ stuckBus }

func (*wildBus) Run(context.Context) error { panic("a bus of straw") }

func TestAPanicOfABusReader(t *testing.T) {
	r := newRig(t)
	r.ports.Buses = []BusPort{{Bus: &wildBus{}}}
	var err error
	if r.station, err = New(r.options); err != nil {
		t.Fatal(err)
	}
	err = r.station.Run(context.Background(), context.Background())
	if err == nil || !strings.Contains(err.Error(), "bus cable to the roof panicked") {
		t.Errorf("got %v", err)
	}
	if !r.outputs[heaterAt].closed {
		t.Error("the heater was not driven off")
	}
}

// TestAPanicOfWhoTellsTheManager: it takes the station down with words and all
// outputs off, and not the whole process with outputs as they were.
func TestAPanicOfWhoTellsTheManager(t *testing.T) {
	r := newRig(t)
	var err error
	if r.station, err = New(r.options); err != nil {
		t.Fatal(err)
	}
	r.station.manager.send = func(string) error { panic("a manager of straw") }
	r.station.manager.tell("STATUS=all is well")
	err = r.station.Run(context.Background(), context.Background())
	if err == nil || !strings.Contains(err.Error(), "what is told to the service manager panicked: a manager of straw") {
		t.Errorf("got %v", err)
	}
	for _, o := range r.outputs {
		if o.Level() != 0 || !o.closed {
			t.Errorf("%s is at %g, closed %v", o.name, o.Level(), o.closed)
		}
	}
}

// hostBus is a bus with probes that nobody asked for.
type hostBus struct{ stuckBus }

func (*hostBus) Run(ctx context.Context) error        { <-ctx.Done(); return nil }
func (*hostBus) Stuck() (time.Duration, string, bool) { return 0, "", false }
func (*hostBus) Strangers() []string                  { return []string{"28-0000000000a1", "28-0000000000a2"} }

// TestStrangersOnABusAreFound: what hangs on a bus and in no place is a finding.
func TestStrangersOnABusAreFound(t *testing.T) {
	r := newRig(t)
	r.ports.Buses = []BusPort{{Bus: &hostBus{}}}
	r.start()
	r.to(2 * time.Minute)
	found := ""
	for _, f := range r.kept.last().Findings {
		if f.Kind == control.FoundProbeStranger {
			found = f.Detail
		}
	}
	if found != "28-0000000000a1, 28-0000000000a2" {
		t.Errorf("found %q", found)
	}
}

// wildWatcher panics at its third tick.
type wildWatcher struct{ seen int }

func (w *wildWatcher) Watch(*tick.Tick) {
	if w.seen++; w.seen == 3 {
		panic("a watcher of straw")
	}
}

func TestAPanicOfAWatcher(t *testing.T) {
	r := newRig(t)
	wild := &wildWatcher{}
	r.options.Watchers = append(r.options.Watchers, wild)
	r.start()
	r.to(10 * time.Second)
	if r.kept.count() != 11 || wild.seen != 3 {
		t.Errorf("%d ticks, the wild watcher saw %d", r.kept.count(), wild.seen)
	}
	if !strings.Contains(r.log.String(), "given no more ticks") {
		t.Error("the log says nothing")
	}
}

// blockedWatcher never comes back while it is held.
type blockedWatcher struct{ hold chan struct{} }

func (w *blockedWatcher) Watch(*tick.Tick) { <-w.hold }

func TestABlockedWatcherDelaysNobody(t *testing.T) {
	synctest.Test(t, func(t *testing.T) { // real time passes at once in here
		r := newRig(t)
		blocked := &blockedWatcher{make(chan struct{})}
		defer close(blocked.hold)
		r.options.Watchers = append(r.options.Watchers, blocked)
		var err error
		if r.station, err = New(r.options); err != nil {
			t.Fatal(err)
		}
		ctx, stop := context.WithCancel(t.Context())
		ended := make(chan error, 1)
		go func() { ended <- r.station.Run(ctx, t.Context()) }()
		for at := range 200 {
			if _, err := r.clock.Advance(ctx, time.Duration(at)*time.Second, control.Wall{}); err != nil {
				t.Fatal(err)
			}
		}
		if n := r.kept.count(); n != 200 {
			t.Errorf("the other watcher saw %d ticks of 200", n)
		}
		if r.outputs[pumpAt].sets != 200 {
			t.Errorf("%d drives in 200 ticks", r.outputs[pumpAt].sets)
		}
		if n := strings.Count(r.log.String(), "too slow and misses ticks"); n != 1 {
			t.Errorf("told %d times in the log", n)
		}
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
}

func TestAMailboxKeepsTheNewest(t *testing.T) {
	kept := &keeper{}
	m := newMailbox(kept, NewLockstep(), slog.New(slog.DiscardHandler))
	for n := range uint64(300) {
		m.post(&tick.Tick{Number: n})
	}
	m.close()
	m.run()
	if kept.count() != mailboxDepth || kept.ticks[0].Number != 300-mailboxDepth || kept.last().Number != 299 {
		t.Errorf("%d ticks kept, from %d to %d", kept.count(), kept.ticks[0].Number, kept.last().Number)
	}
}

func TestAServiceThatFailsIsTriedAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		r := newRig(t)
		s := &Station{log: r.options.Log}
		ctx, stop := context.WithCancel(t.Context())
		tries := 0
		begun := time.Now()
		s.serve(ctx, Service{"page", func(context.Context) error {
			switch tries++; tries {
			case 1:
				return errors.New("the port is taken")
			case 2:
				panic("a page of straw")
			}
			stop()
			return nil
		}})
		if tries != 3 || time.Since(begun) != 2*serviceRetry {
			t.Errorf("%d tries in %v", tries, time.Since(begun))
		}
	})
}

func TestABoardThatWakesIn1970(t *testing.T) {
	r := newRig(t)
	r.options.Plan.Systems[0].Settings.HeaterWindows = control.Windows{{From: 12 * 60, To: 13 * 60}}
	for _, at := range []int{tankTopAt, tankBottomAt, collectorAt} {
		r.probes[at].set(40) // below heater_start, above heater_floor
	}
	r.start()
	r.toWall(5*time.Minute, control.Wall{Time: time.Unix(300, 0)})
	heater := r.kept.last().Outputs[heaterAt]
	if heater.On != 0 || heater.Level != 0 || heater.Reason.Words != control.SaysHeaterClock {
		t.Errorf("while the clock is not set the heater is %+v", heater.Reason.String())
	}
	r.to(10 * time.Minute) // the network has answered: it is noon, 56 years later
	last := r.kept.last()
	heater = last.Outputs[heaterAt]
	if heater.Level != 1 || heater.On <= 0 || heater.On > 5*time.Minute {
		t.Errorf("inside its window the heater is at %g, on for %v: %v", heater.Level, heater.On, heater.Reason)
	}
	if last.Service != 10*time.Minute || last.At != 10*time.Minute || last.Late != 0 {
		t.Errorf("durations were harmed: service %v, at %v, late %v", last.Service, last.At, last.Late)
	}
	for i := range last.Readings {
		if last.Readings[i].Age != 0 || last.Readings[i].Quality != control.Good {
			t.Errorf("reading %d was harmed: %+v", i, last.Readings[i])
		}
	}
	r.toWall(20*time.Minute, control.Wall{Time: noon.Add(-24 * time.Hour), Trusted: true}) // and back by a day
	if got := r.kept.last(); got.Service != 20*time.Minute || got.Outputs[heaterAt].On <= heater.On {
		t.Errorf("after a jump back: service %v, heater on for %v", got.Service, got.Outputs[heaterAt].On)
	}
}

func TestPortsThatDoNotFit(t *testing.T) {
	r := newRig(t)
	r.ports.Outputs = r.ports.Outputs[:1]
	r.ports.Banks = []Bank{{Name: "chip", Outputs: []int{3}}}
	_, err := New(r.options)
	for _, want := range []string{"1 outputs for 2 decisions", "bank chip names output 3"} {
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("got %v, without %q", err, want)
		}
	}
	if !r.outputs[pumpAt].closed {
		t.Error("an output that was opened is not driven off")
	}
	lock, err := realDisk{}.lock(r.options.StateFolder)
	if err != nil {
		t.Fatal("the folder is still locked")
	}
	if err := lock.Close(); err != nil {
		t.Error(err)
	}
}

// hungWriter takes lines only once it is released.
type hungWriter struct {
	release chan struct{}
	text    bytes.Buffer
}

func (w *hungWriter) Write(p []byte) (int, error) {
	<-w.release
	return w.text.Write(p)
}

func TestALogThatHangsDelaysNobody(t *testing.T) {
	w := &hungWriter{release: make(chan struct{})}
	q := NewLogQueue(w)
	for n := range 3 * logQueueDepth {
		fmt.Fprintf(q, "line %d\n", n)
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	q.Close(ended) // does not wait either
	close(w.release)
	q.Close(context.Background())
	text := w.text.String()
	if !strings.HasPrefix(text, "line 0\n") && !strings.HasPrefix(text, "level=WARN") || !strings.Contains(text, "lost_lines=") {
		t.Errorf("%d bytes, begins %.60q", len(text), text)
	}
	fmt.Fprintln(q, "after the end")
}
