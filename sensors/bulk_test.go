package sensors

import (
	"errors"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"sunstoker/sensors/sensorstest"
)

// kernel behaves as the kernel's documentation describes a master with
// therm_bulk_read and probes that all have the same temperature.
type kernel struct {
	clock     *sensorstest.Clock
	now       float64            // °C on all probes
	held      map[string]float64 // converted, not read yet
	ready     time.Duration      // end of the conversion going on
	denied    bool               // therm_bulk_read is not ours to write
	second    bool               // the collector hangs on a second master
	refused   bool               // the second master's file is not ours to write
	lost      string             // identity whose reads bring nothing
	single    int                // conversions of one probe
	converted int                // conversions for all
}

func (k *kernel) list(string) ([]string, error) {
	return []string{tankTop, collector, "w1_bus_master1", "w1_bus_master2"}, nil
}

func (k *kernel) read(path string) ([]byte, error) {
	if filepath.Base(path) == bulkFile {
		switch {
		case strings.Contains(path, "master2") && !k.second:
			return nil, fs.ErrNotExist
		case k.clock.Now() < k.ready:
			return []byte("-1\n"), nil
		case len(k.held) > 0:
			return []byte("1\n"), nil
		}
		return []byte("0\n"), nil
	}
	identity := filepath.Base(filepath.Dir(path))
	if k.clock.Now() < k.ready || identity == k.lost {
		return nil, nil
	}
	tempC, held := k.held[identity]
	delete(k.held, identity)
	if !held {
		k.single++
		tempC = k.now
	}
	return []byte(recordOf(int16(tempC*16), 0x7F, 0x10)), nil
}

func (k *kernel) write(path, text string) error {
	onSecond := strings.Contains(path, "master2")
	switch {
	case onSecond && !k.second:
		return fs.ErrNotExist
	case k.denied, onSecond && k.refused:
		return fs.ErrPermission
	case text != "trigger\n":
		return errors.New("invalid argument")
	}
	k.converted++
	k.ready = k.clock.Now() + longestConversion
	if k.held == nil {
		k.held = map[string]float64{}
	}
	if !onSecond {
		k.held[tankTop] = k.now
	}
	if onSecond == k.second {
		k.held[collector] = k.now
	}
	return nil
}

func newBulkRig(t *testing.T, all bool) (*rig, *kernel) {
	t.Helper()
	r := &rig{t: t, clock: &sensorstest.Clock{}}
	k := &kernel{clock: r.clock, now: 40}
	bus, err := newOneWire(r.clock, OneWireOptions{
		Identities:          []string{tankTop, collector},
		OneConversionForAll: all,
	}, k)
	if err != nil {
		t.Fatal(err)
	}
	r.OneWire = bus
	return r, k
}

// poll lets a conversion for all go by.
func (r *rig) poll() {
	r.t.Helper()
	for range longestConversion / bulkPoll {
		r.passed()
		r.clock.Advance(bulkPoll)
	}
	r.passed()
}

func TestOneConversionForAll(t *testing.T) {
	r, k := newBulkRig(t, true)
	r.run()
	r.poll()
	r.wantC(tankTop, 40)
	r.wantC(collector, 40)
	if k.single != 0 || k.converted != 1 {
		t.Errorf("%d single conversions and %d for all, want none and one", k.single, k.converted)
	}
	if note := r.ConversionNote(); note != "one conversion for all probes" {
		t.Error(note)
	}
	if taken := r.latest(collector).Taken; taken != 0 {
		t.Errorf("sample dated %v, want the start of the conversion", taken)
	}
}

func TestWithoutPermissionProbesConvertInTurn(t *testing.T) {
	r, k := newBulkRig(t, true)
	k.denied = true
	r.run()
	r.passed()
	r.wantC(tankTop, 40)
	if k.single != 2 || !strings.Contains(r.ConversionNote(), "permission") {
		t.Errorf("%d single conversions; note %q", k.single, r.ConversionNote())
	}
}

// The trap: a probe that was not read after a conversion for all hands out that
// value at its next read. It must carry the date of that conversion.
func TestOldConversionKeepsItsDate(t *testing.T) {
	r, k := newBulkRig(t, true)
	k.lost = collector
	r.run()
	r.poll()
	r.wantFault(collector, Silent)

	k.lost, k.denied, k.now = "", true, 90
	r.clock.Advance(time.Minute)
	r.passed()
	r.wantC(tankTop, 90)
	r.wantC(collector, 40)
	if taken := r.latest(collector).Taken; taken != 0 {
		t.Errorf("the old value is dated %v, want 0", taken)
	}
	r.nextPass()
	r.wantC(collector, 90)
	if taken := r.latest(collector).Taken; taken != r.clock.Now() {
		t.Errorf("the new value is dated %v, want %v", taken, r.clock.Now())
	}
}

func TestConversionsLeftByOthersAreDiscarded(t *testing.T) {
	for _, all := range []bool{false, true} {
		r, k := newBulkRig(t, all)
		k.held = map[string]float64{tankTop: 12, collector: 13}
		r.run()
		if all {
			r.poll()
		} else {
			r.passed()
		}
		r.wantC(tankTop, 40)
		r.wantC(collector, 40)
	}
}

func TestConversionThatNeverEnds(t *testing.T) {
	r, k := newBulkRig(t, true)
	r.run()
	r.passed()
	k.ready = time.Hour
	r.clock.Advance(bulkLimit)
	r.passed()
	r.wantFault(tankTop, Silent)
	if note := r.ConversionNote(); !strings.Contains(note, "still reports a conversion") {
		t.Error(note)
	}
}

// The same trap where only one of two masters could be triggered.
func TestOldConversionKeepsItsDateBesideANewOne(t *testing.T) {
	r, k := newBulkRig(t, true)
	k.second, k.lost = true, collector
	r.run()
	r.poll()
	r.wantC(tankTop, 40)
	r.wantFault(collector, Silent)

	k.lost, k.refused, k.now = "", true, 90
	r.clock.Advance(time.Minute)
	r.poll()
	r.wantC(tankTop, 90)
	r.wantC(collector, 40)
	if taken := r.latest(collector).Taken; taken != 0 {
		t.Errorf("the old value is dated %v, want 0", taken)
	}
}

// Another program, such as the daemon beside a survey, has all probes convert:
// until they have, each would answer nothing.
func TestAnotherProgramsConversionIsWaitedFor(t *testing.T) {
	r, k := newBulkRig(t, false)
	if err := k.write("/w1_bus_master1/"+bulkFile, bulkTrigger); err != nil {
		t.Fatal(err)
	}
	r.run()
	r.poll()
	r.wantC(tankTop, 40)
	r.wantC(collector, 40)
}
