package sensors

import (
	"context"
	"errors"
	"os"
	"strings"
	"sync/atomic"
	"syscall"
	"testing"

	"sunstoker/sensors/sensorstest"
)

// holdUp turns the file of a probe into a named pipe, which holds up whoever
// reads it until something is written: as near to a read blocked in the kernel
// as a test gets.
func holdUp(t *testing.T, tree *sensorstest.Tree, identity string) {
	t.Helper()
	tree.Put(identity, "")
	path := tree.Path(identity)
	if err := errors.Join(os.Remove(path), syscall.Mkfifo(path, 0o600)); err != nil {
		t.Fatal(err)
	}
}

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
	holdUp(t, r.tree, collector)
	r.tree.PutC(tankTop, 51)
	r.clock.Advance(defaultPeriod)
	pipe := meet(t, r.tree, collector)

	r.clock.Advance(defaultStuckAfter)
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
	holdUp(t, r.tree, tankTop)
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

// countedFiles counts how many reads are going on at the same time.
type countedFiles struct {
	files
	now, most atomic.Int32
}

func (c *countedFiles) read(path string) ([]byte, error) {
	c.most.Store(max(c.most.Load(), c.now.Add(1)))
	defer c.now.Add(-1)
	return c.files.read(path)
}

func TestRunReturnsFromABlockedReadAndLeavesOneReader(t *testing.T) {
	r := newRig(t, OneWireOptions{Identities: []string{tankTop}})
	counted := &countedFiles{files: &diskFiles{}}
	r.tree.PutC(tankTop, 50)
	bus, err := newOneWire(r.clock, r.options, counted)
	if err != nil {
		t.Fatal(err)
	}
	r.OneWire = bus
	holdUp(t, r.tree, tankTop)
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
	r.clock.Advance(defaultStuckAfter + 1)
	if _, _, stuck := r.Stuck(); !stuck {
		t.Error("the reader left behind is not reported")
	}

	r.run()
	release(t, r.tree, tankTop, pipe, recordOf(71*16, 0x7F, 0x10))
	r.passed()
	r.wantC(tankTop, 23.125) // what the reader left behind got is dropped
	if most := counted.most.Load(); most != 1 {
		t.Errorf("%d reads at the same time", most)
	}
}
