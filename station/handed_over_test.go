package station

import (
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/planner/handover"
	"sunstoker/sensors/sensorstest"
	"sunstoker/site"
)

// handedSite is a house on level files whose file says nothing of a test of its
// outputs.
func handedSite(t *testing.T, tree, folder string) *site.Site {
	t.Helper()
	s := testSite(t, tree, oneWireProbes+levelFiles(folder))
	s.OutputsTestedBy = ""
	return s
}

// seenRight is the record of outputs that were seen to be the right ones.
func seenRight(s *site.Site) *handover.Record {
	r := &handover.Record{Site: s.Name}
	for _, step := range handover.Steps(s) {
		if step.Form == handover.Switch {
			r.Put(handover.Answer{Step: step.Key, Outcome: handover.Done, Said: "right", About: step.About})
		}
	}
	return r
}

// TestNothingIsSwitchedBeforeTheHandOver: a station of real outputs observes until
// every one was tested in this very wiring, tells so, and switches once that is done.
func TestNothingIsSwitchedBeforeTheHandOver(t *testing.T) {
	for _, c := range []struct {
		what   string
		before func(t *testing.T, s *site.Site)
		runs   bool
		says   string
	}{
		{"no record", func(*testing.T, *site.Site) {}, false, "loop pump switches: not tested yet"},
		{"tested", func(t *testing.T, s *site.Site) { save(t, s, seenRight(s)) }, true, ""},
		{"one not tested", func(t *testing.T, s *site.Site) {
			r := seenRight(s)
			r.Answers = r.Answers[:1]
			save(t, s, r)
		}, false, "backup heater switches: not tested yet"},
		{"tested, and wired anew", func(t *testing.T, s *site.Site) {
			save(t, s, seenRight(s))
			s.Outputs[0].Full = 255
		}, false, "has changed since it was tested"},
		{"tested, and the newest record is torn", func(t *testing.T, s *site.Site) {
			save(t, s, seenRight(s))
			save(t, s, seenRight(s))
			tear(t, s)
		}, true, ""},
		{"tested, and the only record is torn", func(t *testing.T, s *site.Site) {
			save(t, s, seenRight(s))
			tear(t, s)
		}, false, "can't be used"},
		{"the site file says who did it", func(_ *testing.T, s *site.Site) { s.OutputsTestedBy = "A. Rossi" }, true, ""},
	} {
		t.Run(c.what, func(t *testing.T) {
			tree, folder := sensorstest.NewTree(t), t.TempDir()
			for id, tempC := range map[string]float64{collectorID: 62, topID: 20, bottomID: 20} {
				tree.PutC(id, tempC)
			}
			for _, name := range []string{"pump", "heater"} {
				if err := os.WriteFile(filepath.Join(folder, name), []byte("1\n"), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			s := handedSite(t, tree.Root, folder)
			c.before(t, s)
			kept := &keeper{}
			o := buildOptions()
			o.Watchers = append(o.Watchers, kept)
			clock := NewLockstep()
			st, err := Build(s, clock, o)
			if err != nil {
				t.Fatal(err)
			}
			ctx, stop := context.WithCancel(t.Context())
			ended := make(chan error, 1)
			go func() { ended <- st.Run(ctx, context.Background()) }()
			defer func() {
				stop()
				if err := <-ended; err != nil {
					t.Error(err)
				}
			}()
			if without, err := clock.Advance(t.Context(), 3*time.Minute, control.Wall{Time: noon, Trusted: true}); err != nil || len(without) > 0 {
				t.Fatalf("%v, without %q", err, without)
			}
			now := kept.last()
			if on := now.Outputs[0].Driven > 0; on != c.runs || (fileHolds(t, folder, "pump") == "1") != c.runs {
				t.Errorf("the pump is on: %v, want %v", on, c.runs)
			}
			if would := now.Outputs[0].Would; would == 0 {
				t.Error("what would be done is not shown")
			}
			detail := ""
			for _, f := range now.Findings {
				if f.Kind == control.FoundObserving {
					detail = f.Detail
				}
			}
			if !strings.Contains(detail, c.says) || (detail == "") != c.runs {
				t.Errorf("the finding says %q, want %q", detail, c.says)
			}
		})
	}
}

func save(t *testing.T, s *site.Site, r *handover.Record) {
	t.Helper()
	if err := NewHandoverRecord(s).Save(r); err != nil {
		t.Fatal(err)
	}
}

func tear(t *testing.T, s *site.Site) {
	t.Helper()
	path := filepath.Join(s.StateFolder, handoverName)
	if err := os.Truncate(path, 100); err != nil {
		t.Fatal(err)
	}
}

func fileHolds(t *testing.T, folder, name string) string {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(folder, name))
	if err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(string(text))
}

// TestSimulatedOutputsNeedNoHandOver: demo, bench and trials go on as they are.
func TestSimulatedOutputsNeedNoHandOver(t *testing.T) {
	s := testSite(t, t.TempDir(), oneWireProbes+`
[system.output.loop_pump]
kind = "simulated"
`)
	s.OutputsTestedBy = ""
	if why := notHandedOver(s, realDisk{}); why != "" {
		t.Error(why)
	}
}

// TestThePowerGoesWhileARecordIsSaved: at whatever call, the next start finds the
// record of before or the new one.
func TestThePowerGoesWhileARecordIsSaved(t *testing.T) {
	for call := 1; ; call++ {
		s := handedSite(t, t.TempDir(), t.TempDir())
		d := &failingDisk{disk: realDisk{}}
		h := &HandoverRecord{disk: d, folder: s.StateFolder}
		first := &handover.Record{Site: "before"}
		if err := h.Save(first); err != nil {
			t.Fatal(err)
		}
		d.left = call
		err := h.Save(seenRight(s))
		r, remarks := NewHandoverRecord(s).Load()
		if r == nil || len(remarks) > 0 {
			t.Fatalf("call %d: %v, %v", call, r, remarks)
		}
		if err == nil {
			if call < 5 {
				t.Errorf("only %d calls", call)
			}
			return
		}
	}
}

// TestOneHandOverAtATime: the second is refused until the first has ended.
func TestOneHandOverAtATime(t *testing.T) {
	s := handedSite(t, t.TempDir(), filepath.Join(t.TempDir(), "none yet"))
	first, err := NewHandoverRecord(s).Hold()
	if err != nil {
		t.Fatal(err)
	}
	daemon, err := realDisk{}.lock(s.StateFolder)
	if err != nil {
		t.Errorf("a hand-over keeps the daemon away: %v", err)
	}
	if _, err := NewHandoverRecord(s).Hold(); err == nil || !strings.Contains(err.Error(), "in another terminal") {
		t.Errorf("the second got %v", err)
	}
	if err := errors.Join(first.Close(), daemon.Close()); err != nil {
		t.Error(err)
	}
	second, err := NewHandoverRecord(s).Hold()
	if err != nil {
		t.Fatal(err)
	}
	second.Close()
}

// failingDisk fails from a call on, as if the power had gone.
type failingDisk struct {
	disk
	left int // calls that still do their work; 0: all do
	gone bool
}

func (d *failingDisk) fails() bool {
	if d.left > 0 {
		d.left--
		d.gone = d.left == 0
	}
	return d.gone
}

func (d *failingDisk) create(path string) (diskFile, error) {
	if d.fails() {
		return nil, os.ErrClosed
	}
	f, err := d.disk.create(path)
	return failingFile{f, d}, err
}

func (d *failingDisk) rename(from, to string) error {
	if d.fails() {
		return os.ErrClosed
	}
	return d.disk.rename(from, to)
}

func (d *failingDisk) syncFolder(path string) error {
	if d.fails() {
		return os.ErrClosed
	}
	return d.disk.syncFolder(path)
}

type failingFile struct {
	diskFile
	disk *failingDisk
}

func (f failingFile) Write(p []byte) (int, error) {
	if f.disk.fails() {
		return f.diskFile.Write(p[:len(p)/2])
	}
	return f.diskFile.Write(p)
}

func (f failingFile) Sync() error {
	if f.disk.fails() {
		return os.ErrClosed
	}
	return f.diskFile.Sync()
}

// TestTakenIsTakenAlone: whoever tries outputs keeps a daemon away, and lets go.
func TestTakenIsTakenAlone(t *testing.T) {
	tree, folder := sensorstest.NewTree(t), t.TempDir()
	for _, name := range []string{"pump", "heater"} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte("1\n"), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	s := handedSite(t, tree.Root, folder)
	taken, err := Take(s, NewLockstep(), buildOptions())
	if err != nil {
		t.Fatal(err)
	}
	if fileHolds(t, folder, "heater") != "0" {
		t.Error("taking the outputs did not drive them off")
	}
	if _, err := Build(s, NewLockstep(), buildOptions()); err == nil || !strings.Contains(err.Error(), "already runs") {
		t.Errorf("a daemon starts beside it: %v", err)
	}
	if err := taken.Close(); err != nil {
		t.Error(err)
	}
	o := buildOptions()
	o.euid = func() int { return 0 }
	o.Log = slog.New(slog.DiscardHandler)
	if _, err := Take(s, NewLockstep(), o); err == nil || !strings.Contains(err.Error(), "root user") {
		t.Errorf("the root user may take them: %v", err)
	}
}
