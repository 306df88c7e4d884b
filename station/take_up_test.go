package station

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
)

// startPoisoned starts a station whose controller panics in its first step when
// a state was taken up, and tells whether it did.
func startPoisoned(r *rig) (panicked bool) {
	r.t.Helper()
	s, err := New(r.options)
	if err != nil {
		r.t.Fatal(err)
	}
	r.station = s
	if s.tried != nil {
		s.ctl = nil
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		_ = s.Run(ctx, context.Background()) // the panic, or none when the stop below was quicker
	}()
	r.to(0)
	stop()
	<-ended
	return s.deciding
}

func TestAStateThatKillsTheControllerIsSetAside(t *testing.T) {
	folder := t.TempDir()
	first := newRig(t)
	first.options.StateFolder = folder
	first.start()
	if err := first.end(); err != nil {
		t.Fatal(err)
	}
	poison, err := os.ReadFile(filepath.Join(folder, "state"))
	if err != nil {
		t.Fatal(err)
	}
	for start := 1; start <= 3; start++ {
		r := newRig(t)
		r.options.StateFolder = folder
		if panicked := startPoisoned(r); panicked != (start <= 2) {
			t.Fatalf("start %d: panicked %v", start, panicked)
		}
		for _, o := range r.outputs {
			if o.Level() != 0 {
				t.Errorf("start %d: %s is on", start, o.name)
			}
		}
		if start == 3 && (!strings.Contains(r.log.String(), "set aside") || r.station.memoryLost == "") {
			t.Error("nobody is told that the state was set aside")
		}
	}
	kept, err := os.ReadFile(filepath.Join(folder, "state.failed"))
	if err != nil {
		t.Fatal("the state is not kept for whoever wants to know:", err)
	}
	var bodies [2]*stateBody
	for i, data := range [][]byte{poison, kept} {
		if bodies[i], err = decodeState(data); err != nil {
			t.Fatal(err)
		}
	}
	if string(bodies[0].Controller) != string(bodies[1].Controller) {
		t.Error("the state that was kept is not the one that failed")
	}
}

func TestStartsThatNobodyEndedCountToo(t *testing.T) {
	// The program was killed twice before its first tick was done.
	d := newCardDisk()
	live(t, d, never)
	for start := 1; start <= 3; start++ {
		r := onCard(t, d)
		s, err := New(r.options)
		if err != nil {
			t.Fatal(err)
		}
		go s.saver.run()
		s.markStart()
		if err := s.saver.finish(t.Context()); err != nil {
			t.Fatal(err)
		}
		if took := s.tried != nil; took != (start <= 2) {
			t.Errorf("start %d took up a state: %v", start, took)
		}
	}
	if d.names["/state/state.failed"] == nil || d.names["/state/state.before.failed"] == nil {
		t.Error("the files were not kept")
	}
}

func TestAGoodStartForgivesTheBadOne(t *testing.T) {
	d := newCardDisk()
	live(t, d, never)
	if r := onCard(t, d); !startPoisoned(r) {
		t.Fatal("no panic")
	}
	r := onCard(t, d)
	r.start()
	if r.station.tried.FailedStarts != 1 {
		t.Errorf("%d failed starts counted", r.station.tried.FailedStarts)
	}
	r.to(2 * time.Minute)
	r.to(40 * time.Minute)
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	again := onCard(t, d)
	again.start()
	if again.station.tried.FailedStarts != 0 {
		t.Error("a failed start still counts after 40 min of work")
	}
}

func TestAPanicSoonAfterTheStartBlamesTheState(t *testing.T) {
	for at, want := range map[time.Duration]int{2 * time.Minute: 1, 11 * time.Minute: 0} {
		d := newCardDisk()
		live(t, d, never)
		r := onCard(t, d)
		r.start()
		r.to(at)
		r.station.ctl = nil
		r.to(at + time.Second)
		<-r.ended
		body, err := decodeState(d.names["/state/state"].data)
		if err != nil {
			t.Fatal(err)
		}
		if body.FailedStarts != want || (string(body.Controller) == string(r.station.tried.Controller)) != (want == 1) {
			t.Errorf("a panic after %v leaves a state with %d failed starts", at, body.FailedStarts)
		}
	}
}

func TestADriverThatPanicsDoesNotBlameTheState(t *testing.T) {
	d := newCardDisk()
	live(t, d, never)
	r := onCard(t, d)
	r.probes[collectorAt].panic = true
	s, err := New(r.options)
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Run(context.Background(), context.Background()) }()
	_, _ = r.clock.Advance(context.Background(), 0, control.Wall{})
	if err := <-ended; err == nil {
		t.Fatal("no panic")
	}
	if s.deciding {
		t.Error("the controller counts as the one that panicked")
	}
}

func TestALostMemoryIsAFinding(t *testing.T) {
	d := newCardDisk()
	d.names["/state/state"] = &cardFile{data: []byte("x")}
	r := onCard(t, d)
	r.start()
	r.to(2 * time.Minute)
	if !r.hasFinding(control.FoundMemoryLost) {
		t.Errorf("findings %+v", r.kept.last().Findings)
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	again := onCard(t, d)
	again.start()
	again.to(2 * time.Minute)
	if again.hasFinding(control.FoundMemoryLost) {
		t.Error("the finding stands though the next start had its memory")
	}
}

func TestTheFirstStartHasLostNothing(t *testing.T) {
	r := onCard(t, newCardDisk())
	r.start()
	r.to(2 * time.Minute)
	if r.hasFinding(control.FoundMemoryLost) {
		t.Error("a memory that never was is called lost")
	}
}
