package station

import (
	"encoding/json"
	"errors"
	"fmt"
	"log/slog"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"sunstoker/control"
)

func bodyOf(n int) *stateBody {
	return &stateBody{Trusted: noon, Controller: json.RawMessage(fmt.Sprintf(`{"n":%d}`, n))}
}

// numberOf gives what bodyOf put in; 0 for no state.
func numberOf(t *testing.T, b *stateBody) int {
	t.Helper()
	if b == nil {
		return 0
	}
	var in struct{ N int }
	if err := json.Unmarshal(b.Controller, &in); err != nil || !b.Trusted.Equal(noon) {
		t.Fatalf("a state came back as %s, %v", b.Controller, b.Trusted)
	}
	return in.N
}

func storeOn(d disk) (*stateStore, *logText) {
	log := &logText{}
	return &stateStore{disk: d, folder: "/state", log: slog.New(slog.NewTextHandler(log, nil))}, log
}

func acceptAll(*stateBody) error { return nil }

// found gives the number of the state that a store finds.
func found(t *testing.T, s *stateStore) int {
	t.Helper()
	body, _ := s.load(acceptAll)
	return numberOf(t, body)
}

// callsOfOneSave is found by saving once: each of them is let crash below.
func callsOfOneSave(t *testing.T) int {
	d := newCardDisk()
	s, _ := storeOn(d)
	if err := s.save(bodyOf(1)); err != nil {
		t.Fatal(err)
	}
	return d.calls
}

func TestThePowerGoesAtEveryCall(t *testing.T) {
	calls := callsOfOneSave(t)
	if calls != 7 {
		t.Fatalf("a save has %d calls; look at this test when that changes", calls)
	}
	const saves = 3
	cards := 0
	for crash := 1; crash <= saves*calls; crash++ {
		d := newCardDisk()
		d.crashAt = crash
		s, _ := storeOn(d)
		saved := 0
		for n := 1; n <= saves; n++ {
			if err := s.save(bodyOf(n)); err != nil {
				break
			}
			saved = n
		}
		for _, card := range d.after() {
			cards++
			again, log := storeOn(card)
			got := found(t, again)
			if got != saved && got != saved+1 {
				t.Errorf("power gone at call %d, %d saved: found %d\n%s", crash, saved, got, log)
			}
			// and the card can be saved on and read again
			if err := again.save(bodyOf(9)); err != nil || found(t, again) != 9 {
				t.Errorf("power gone at call %d: no save afterwards: %v", crash, err)
			}
		}
	}
	if cards < saves*calls {
		t.Fatalf("only %d cards were looked at", cards)
	}
}

func TestACallFailsAndThePowerStays(t *testing.T) {
	calls := callsOfOneSave(t)
	for fail := calls + 1; fail <= 2*calls; fail++ {
		d := newCardDisk()
		d.failAt = fail
		s, _ := storeOn(d)
		if err := s.save(bodyOf(1)); err != nil {
			t.Fatal(err)
		}
		if err := s.save(bodyOf(2)); err == nil {
			t.Errorf("call %d failed and save says nothing", fail)
		}
		if got := found(t, s); got != 1 && got != 2 {
			t.Errorf("call %d failed: found %d", fail, got)
		}
		if err := s.save(bodyOf(3)); err != nil || found(t, s) != 3 {
			t.Errorf("call %d failed: the next save gives %v", fail, err)
		}
	}
}

func TestDamagedStateFiles(t *testing.T) {
	whole := func(n int) string {
		data, err := encodeState(bodyOf(n))
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	foreign := strings.Replace(whole(2), " 1 ", " 2 ", 1)
	for _, c := range []struct {
		name, newest, before string
		accept               func(*stateBody) error
		want                 int
		tells                string
	}{
		{"whole", whole(2), whole(1), nil, 2, ""},
		{"torn", whole(2)[:60], whole(1), nil, 1, "begin as a state file"},
		{"torn in its body", whole(2)[:len(whole(2))-3], whole(1), nil, 1, "checksum"},
		{"empty", "", whole(1), nil, 1, "empty"},
		{"garbage", "\x00\x00\x00\x00", whole(1), nil, 1, "begin as a state file"},
		{"one figure changed", strings.Replace(whole(2), `"n":2`, `"n":3`, 1), whole(1), nil, 1, "checksum"},
		{"foreign version", foreign, whole(1), nil, 1, "version"},
		{"both damaged", "x", "y", nil, 0, "without a memory"},
		{"not to the controller's taste", whole(2), whole(1), func(b *stateBody) error {
			if numberOf(t, b) == 2 {
				return errors.New("a level of 7")
			}
			return nil
		}, 1, "a level of 7"},
	} {
		t.Run(c.name, func(t *testing.T) {
			d := newCardDisk()
			d.names["/state/state"] = &cardFile{data: []byte(c.newest)}
			d.names["/state/state.before"] = &cardFile{data: []byte(c.before)}
			s, log := storeOn(d)
			if c.accept == nil {
				c.accept = acceptAll
			}
			body, lost := s.load(c.accept)
			if got := numberOf(t, body); got != c.want || (lost != nil) != (c.want == 0) {
				t.Errorf("found %d, not %d; lost: %v", got, c.want, lost)
			}
			if !strings.Contains(log.String(), c.tells) {
				t.Errorf("the log does not tell %q:\n%s", c.tells, log)
			}
			if _, aside := d.names["/state/state.broken"]; aside != (c.want != 2) {
				t.Errorf("set aside: %v", aside)
			}
		})
	}
}

func TestASpoiltNewestFileIsNotCopied(t *testing.T) {
	saved := func() *cardDisk {
		d := newCardDisk()
		s, _ := storeOn(d)
		for n := 1; n <= 2; n++ {
			if err := s.save(bodyOf(n)); err != nil {
				t.Fatal(err)
			}
		}
		d.names["/state/state"] = &cardFile{data: []byte("spoilt"), synced: []byte("spoilt")}
		d.durable = maps.Clone(d.names)
		return d
	}
	for crash := range 10 {
		d := saved()
		d.failAt = d.calls + 2 // the file can't be set aside
		s, _ := storeOn(d)
		if got := found(t, s); got != 1 {
			t.Fatalf("found %d", got)
		}
		d.crashAt = d.calls + 1 + crash
		err := s.save(bodyOf(3))
		for _, card := range d.after() {
			again, log := storeOn(card)
			if got := found(t, again); got != 3 && (err == nil || got != 1) {
				t.Errorf("power gone at call %d of the save: found %d\n%s", crash+1, got, log)
			}
		}
	}
}

func TestTheStateSurvivesARestart(t *testing.T) {
	r := newRig(t)
	r.start()
	r.to(130 * time.Second)
	r.probes[collectorAt].set(70)
	r.to(300 * time.Second)
	before := r.kept.last()
	if before.Outputs[pumpAt].Switchings != 1 {
		t.Fatal("the pump did not run")
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	again := newRig(t)
	again.options.StateFolder = r.options.StateFolder
	again.start()
	after := again.kept.last()
	if after.Outputs[pumpAt].Switchings != 1 || after.Outputs[pumpAt].On != before.Outputs[pumpAt].On || after.Service != before.Service {
		t.Errorf("before %+v\nafter %+v", before.Outputs[pumpAt], after.Outputs[pumpAt])
	}
	if after.Outputs[pumpAt].Level != 0 {
		t.Error("the pump runs at once, against its minimum rest")
	}
	if !again.station.trustedWall.Equal(noon) {
		t.Errorf("the newest trusted wall time came back as %v", again.station.trustedWall)
	}
}

func TestATornStateDoesNotStopTheStart(t *testing.T) {
	r := newRig(t)
	path := filepath.Join(r.options.StateFolder, "state")
	if err := os.WriteFile(path, []byte("sunstoker state 1 "), 0o600); err != nil {
		t.Fatal(err)
	}
	r.start()
	if _, err := os.Stat(path + ".broken"); err != nil {
		t.Error(err)
	}
	if text := r.log.String(); !strings.Contains(text, "set aside") || !strings.Contains(text, "without a memory") {
		t.Error("the log says nothing")
	}
}

func TestTwoDaemonsOnOneStateFolder(t *testing.T) {
	r := newRig(t)
	r.start()
	second := newRig(t)
	second.options.StateFolder = r.options.StateFolder
	_, err := New(second.options)
	if err == nil || !strings.Contains(err.Error(), "another sunstoker already runs with the state folder "+r.options.StateFolder) {
		t.Errorf("got %v", err)
	}
	if second.opened != 0 {
		t.Error("the second daemon opened outputs that the first one drives")
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	second.start() // the folder is free again
}

func TestAFolderThatCanNotBe(t *testing.T) {
	r := newRig(t)
	r.options.StateFolder = filepath.Join(os.Args[0], "below a file")
	if _, err := New(r.options); err == nil || !strings.Contains(err.Error(), "state_folder") {
		t.Errorf("got %v", err)
	}
}

func TestWhenTheStateIsSaved(t *testing.T) {
	r := newRig(t)
	d := newCardDisk()
	r.options.disk = d
	r.start()
	saves := func() int { return d.saves }
	if r.to(59 * time.Second); saves() != 1 {
		t.Errorf("%d saves after the start", saves())
	}
	if r.to(14 * time.Minute); saves() != 2 { // the second one since counters began to count
		t.Errorf("%d saves while nothing happens", saves())
	}
	r.to(20 * time.Minute)
	if saves() != 3 {
		t.Errorf("%d saves after a quarter of an hour", saves())
	}
	r.probes[collectorAt].set(57)
	r.to(20*time.Minute + 10*time.Second)
	r.probes[collectorAt].set(64)
	r.to(21*time.Minute + 10*time.Second)
	if r.kept.last().Outputs[pumpAt].Switchings != 1 {
		t.Fatal("the pump does not run")
	}
	if saves() != 4 {
		t.Errorf("%d saves a minute after the pump started", saves())
	}
	if err := r.end(); err != nil || saves() != 5 {
		t.Errorf("%d saves at the end, %v", saves(), err)
	}
}

func TestAFullDisk(t *testing.T) {
	r := newRig(t)
	d := newCardDisk()
	r.options.disk = d
	r.start()
	d.failAt, d.lasting = d.calls+1, true
	r.probes[collectorAt].set(57)
	r.to(2 * time.Minute)
	r.probes[collectorAt].set(64)
	r.to(10 * time.Minute)
	if !r.hasFinding(control.FoundStateUnsaved) {
		t.Errorf("findings %+v", r.kept.last().Findings)
	}
	if n := r.kept.count(); n != 601 {
		t.Errorf("%d ticks in 10 min", n)
	}
	d.failAt = 0
	r.to(15 * time.Minute)
	if r.hasFinding(control.FoundStateUnsaved) || !strings.Contains(r.log.String(), "can be saved again") {
		t.Error("the disk is well again and the finding stays")
	}
}

func TestEssence(t *testing.T) {
	ctl, err := control.New(testPlan())
	if err != nil {
		t.Fatal(err)
	}
	look := func() []byte {
		data, err := ctl.SaveState()
		if err != nil {
			t.Fatal(err)
		}
		e, err := essence(data)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	step := func(collectorC float64, elapsed time.Duration) {
		ctl.Step(elapsed, control.Wall{Time: noon, Trusted: true}, []control.Reading{{Value: collectorC}, {Value: 50}, {Value: 50}})
	}
	for range 200 {
		step(50, time.Second)
	}
	idle := look()
	for i := range 100 {
		step(50+float64(i%5), time.Second)
	}
	if !slices.Equal(idle, look()) {
		t.Errorf("time and readings alone change the essence:\n%s\n%s", idle, look())
	}
	if err := ctl.Override(heaterAt, 1, time.Hour); err != nil {
		t.Fatal(err)
	}
	overridden := look()
	if slices.Equal(idle, overridden) {
		t.Error("an override does not change the essence")
	}
	step(50, time.Second)
	if slices.Equal(overridden, look()) {
		t.Error("a switching does not change the essence")
	}
}

func FuzzDecodeState(f *testing.F) {
	data, err := encodeState(bodyOf(1))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(data)
	f.Add([]byte("sunstoker state 1 \n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		b, err := decodeState(data)
		if (b == nil) == (err == nil) {
			t.Errorf("%v, %v", b, err)
		}
	})
}
