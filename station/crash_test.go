package station

import (
	"bytes"
	"fmt"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// crashFolder is where the station keeps its state on a card of memory.
const crashFolder = "/state"

// onCard gives a rig whose state lies on a card.
func onCard(t *testing.T, d disk) *rig {
	r := newRig(t)
	r.options.disk, r.options.StateFolder = d, crashFolder
	return r
}

// live is two lives of a station on one card: the first start of a site with a
// pump that begins to run, and a restart, each with saves and an orderly end.
// Whatever the card does, every tick is made. Once the power is gone the life
// goes on to no effect, and there is no second one.
func live(t *testing.T, d disk, gone func() bool) {
	t.Helper()
	for range 2 {
		if gone() {
			return
		}
		r := onCard(t, d)
		r.start()
		r.to(130 * time.Second)
		r.probes[collectorAt].set(70)
		r.to(190 * time.Second)
		if n := r.kept.count(); n != 191 {
			t.Fatalf("%d ticks in 190 s", n)
		}
		if err := r.end(); err != nil {
			t.Fatal(err)
		}
	}
}

func never() bool { return false }

// loggedDisk keeps every state that became the newest, in order.
type loggedDisk struct {
	*cardDisk
	saved [][]byte
}

func (d *loggedDisk) rename(from, to string) error {
	err := d.cardDisk.rename(from, to)
	if err == nil && to == filepath.Join(crashFolder, "state") {
		d.saved = append(d.saved, d.names[to].data)
	}
	return err
}

// startOn starts a station on a card and gives the state that it took up, nil
// when it took up none. Whatever lies there, it starts, ticks, has its outputs
// off, and saves.
func startOn(t *testing.T, card *cardDisk) []byte {
	t.Helper()
	r := onCard(t, card)
	r.start()
	if n := r.kept.count(); n != 1 {
		t.Fatalf("%d ticks", n)
	}
	for _, o := range r.kept.last().Outputs {
		if o.Level != 0 {
			t.Error("an output is on at the first tick")
		}
	}
	saves := card.saves
	if err := r.end(); err != nil || card.saves == saves {
		t.Errorf("%d saves on the way out, error %v", card.saves-saves, err)
	}
	if r.station.tried == nil {
		return nil
	}
	data, err := encodeState(r.station.tried)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// oldOrNew tells whether a state is the last one that was saved, or the one
// that was under way; saves is how many were whole.
func oldOrNew(got []byte, saved [][]byte, saves int) bool {
	if saves == 0 && got == nil || saves > 0 && bytes.Equal(got, saved[saves-1]) {
		return true
	}
	return saves < len(saved) && got != nil && bytes.Equal(got, saved[saves])
}

// TestProofCrashAtEveryFileCall lets the power go at every call to the disk
// that a station makes in two lives, and starts a station on every card that
// may be found after it.
func TestProofCrashAtEveryFileCall(t *testing.T) {
	whole := &loggedDisk{cardDisk: newCardDisk()}
	live(t, whole, never)
	if len(whole.saved) != 9 {
		t.Fatalf("the two lives have %d saves; look at this test when that changes", len(whole.saved))
	}
	starts := 0
	for crash := 1; crash <= whole.calls; crash++ {
		t.Run(fmt.Sprintf("call %d", crash), func(t *testing.T) {
			d := newCardDisk()
			d.crashAt = crash
			live(t, d, func() bool { return d.calls >= crash })
			for _, card := range d.after() {
				starts++
				if got := startOn(t, card); !oldOrNew(got, whole.saved, d.saves) {
					t.Fatalf("%d states were saved, and the start took up\n%s", d.saves, got)
				}
			}
		})
	}
	if starts < whole.calls {
		t.Fatalf("only %d starts", starts)
	}
	t.Logf("proof: file calls at which the power goes = %d calls", whole.calls)
	t.Logf("proof: starts on what the power left behind = %d starts", starts)
}

// TestProofFailureOfEveryFileCall lets every call fail by the usual errors of a
// card: once, and together with all later ones, as on a card that is full or
// was made read-only. The station keeps its tick, and after a power cut at the
// end a start finds one of the last two states.
func TestProofFailureOfEveryFileCall(t *testing.T) {
	whole := newCardDisk()
	live(t, whole, never)
	failures, starts := 0, 0
	for fail := 1; fail <= whole.calls; fail++ {
		for _, by := range []error{unix.ENOSPC, unix.EIO, unix.EROFS} {
			for _, lasting := range []bool{false, true} {
				t.Run(fmt.Sprintf("call %d, %v, lasting %v", fail, by, lasting), func(t *testing.T) {
					failures++
					d := &loggedDisk{cardDisk: newCardDisk()}
					d.failAt, d.failsBy, d.lasting = fail, by, lasting
					live(t, d, never)
					for _, card := range d.after() {
						starts++
						if got := startOn(t, card); !oneOfTheLast(got, d.saved) {
							t.Fatalf("%d states were saved, and the start took up\n%s", len(d.saved), got)
						}
					}
				})
			}
		}
	}
	t.Logf("proof: failures of a file call, once or lasting = %d failures", failures)
	t.Logf("proof: starts after such failures = %d starts", starts)
}

// oneOfTheLast tells whether a state is one of the last two that were saved.
func oneOfTheLast(got []byte, saved [][]byte) bool {
	last := saved[max(0, len(saved)-2):]
	return got == nil && len(last) < 2 || slices.ContainsFunc(last, func(s []byte) bool { return bytes.Equal(got, s) })
}
