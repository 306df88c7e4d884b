package sensors

import (
	"context"
	"errors"
	"os"
	"strings"
	"sync/atomic"
	"testing"
	"testing/synctest"

	"sunstoker/sensors/sensorstest"
)

// meet returns once the reader has opened the pipe; opening waits for it.
func meet(t *testing.T, tree *sensorstest.Tree, identity string) *os.File {
	t.Helper()
	pipe, err := os.OpenFile(tree.Path(identity), os.O_WRONLY, 0)
	if err != nil {
		t.Fatal(err)
	}
	return pipe
}

// release lets the reader go on with a record, or none, and puts a plain file
// in the pipe's place.
func release(t *testing.T, tree *sensorstest.Tree, identity string, pipe *os.File, text string) {
	t.Helper()
	tree.Put(identity, recordOf(370, 0x7F, 0x10))
	_, err := pipe.WriteString(text)
	if err := errors.Join(err, pipe.Close()); err != nil {
		t.Fatal(err)
	}
}

func TestBlockedReadIsReportedAndSurvived(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop, collector}})
	r.tree.PutC(tankTop, 50)
	r.tree.PutC(collector, 70)
	r.run()
	r.passed()
	r.tree.Hang(collector)
	r.tree.PutC(tankTop, 51)
	r.clock.Advance(defaultPeriod)
	pipe := meet(t, r.tree, collector)

	r.clock.Advance(DefaultStuckAfter)
	if _, what, stuck := r.Stuck(); stuck {
		t.Errorf("stuck on %q right at the limit", what)
	}
	r.clock.Advance(1)
	since, what, stuck := r.Stuck()
	if !stuck || since != defaultPeriod || !strings.Contains(what, r.tree.Path(collector)) {
		t.Errorf("stuck %v on %q since %v", stuck, what, since)
	}
	r.wantC(tankTop, 51) // read before the hold-up
	r.wantC(collector, 70)
	if taken := r.latest(collector).Taken; taken != 0 {
		t.Errorf("the held-up sample pretends to be from %v", taken)
	}

	release(t, r.tree, collector, pipe, recordOf(71*16, 0x7F, 0x10))
	r.passed()
	if _, what, stuck := r.Stuck(); stuck {
		t.Errorf("still stuck on %q", what)
	}
	r.wantC(collector, 71)
	if taken := r.latest(collector).Taken; taken != defaultPeriod {
		t.Errorf("sample dated %v, want the beginning of the read", taken)
	}
	r.nextPass()
	r.wantC(collector, 23.125)
}

func TestRestAfterALongPass(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	r.tree.Hang(tankTop)
	r.run()
	pipe := meet(t, r.tree, tankTop)
	r.clock.Advance(3 * defaultPeriod)
	release(t, r.tree, tankTop, pipe, "")
	next, err := r.clock.AwaitWait(t.Context())
	if want := 3*defaultPeriod + defaultPeriod/restShare; err != nil || next != want {
		t.Errorf("next pass at %v, %v, want %v", next, err, want)
	}
	r.wantFault(tankTop, Silent)
}

// gatedFiles hold every read up until the gate opens, and count.
type gatedFiles struct {
	gate          chan struct{}
	started, done atomic.Int32
}

func (g *gatedFiles) read(string) ([]byte, error) {
	g.started.Add(1)
	<-g.gate
	g.done.Add(1)
	return []byte(goodText), nil
}

func (g *gatedFiles) write(string, string) error    { return nil }
func (g *gatedFiles) list(string) ([]string, error) { return []string{tankTop}, nil }

// Runs come and go while a read is blocked; there is never a second reader.
func TestOneReaderForEver(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		clock, gated := &sensorstest.Clock{}, &gatedFiles{gate: make(chan struct{})}
		bus, err := newOneWire(clock, OneWireOptions{Identities: []string{tankTop}}, gated)
		if err != nil {
			t.Fatal(err)
		}
		r := &rig{OneWire: bus, t: t, clock: clock}
		for range 3 {
			r.run()
			synctest.Wait() // until everyone is held up
			if n := gated.started.Load(); n != 1 {
				t.Fatalf("%d reads were started, want one", n)
			}
			r.stop()
			<-r.ended
		}
		r.run()
		close(gated.gate)
		r.passed()
		if n := gated.done.Load(); n != 2 {
			t.Errorf("%d reads came back, want the one left behind and a new one", n)
		}
		r.wantC(tankTop, 23.125)
		r.stop()
		<-r.ended
	})
}

func TestRunReturnsFromABlockedRead(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	r.tree.Hang(tankTop)
	r.run()
	pipe := meet(t, r.tree, tankTop)
	if err := r.Run(t.Context()); !errors.Is(err, ErrRunning) {
		t.Errorf("a second Run beside the first: %v", err)
	}
	r.stop()
	if err := <-r.ended; !errors.Is(err, context.Canceled) {
		t.Errorf("Run ended with %v", err)
	}

	// A new Run waits for the reader left behind; ended early it has not read.
	r.run()
	r.stop()
	if err := <-r.ended; !errors.Is(err, context.Canceled) {
		t.Errorf("the waiting Run ended with %v", err)
	}
	if !r.latest(tankTop).Never {
		t.Error("there is a sample though every read is blocked")
	}
	r.clock.Advance(DefaultStuckAfter + 1)
	if _, _, stuck := r.Stuck(); !stuck {
		t.Error("the reader left behind is not reported")
	}

	release(t, r.tree, tankTop, pipe, recordOf(71*16, 0x7F, 0x10))
	r.reader <- struct{}{} // free once the reader left behind has ended
	<-r.reader
	if got := r.latest(tankTop); !got.Never {
		t.Errorf("a sample appeared after Run had returned: %+v", got)
	}
	r.run()
	r.passed()
	r.wantC(tankTop, 23.125)
}
