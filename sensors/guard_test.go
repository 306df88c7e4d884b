package sensors

import (
	"errors"
	"slices"
	"strings"
	"testing"
)

// panickyFiles panic when a probe's file is read, or when the tree is listed.
type panickyFiles struct {
	files
	probe   string // whose record panics; empty for none
	listing bool
}

func (f *panickyFiles) read(path string) ([]byte, error) {
	if f.probe != "" && strings.Contains(path, f.probe) {
		var none []byte
		_ = none[len(path)]
	}
	return f.files.read(path)
}

func (f *panickyFiles) list(path string) ([]string, error) {
	if f.listing {
		panic("a tree of straw")
	}
	return f.files.list(path)
}

func newPanickyRig(t *testing.T, disk *panickyFiles, options OneWireOptions) *rig {
	t.Helper()
	r := newRig(t, options)
	disk.files = &diskFiles{}
	options.Root = r.tree.Root
	bus, err := newOneWire(r.clock, options, disk)
	if err != nil {
		t.Fatal(err)
	}
	r.OneWire = bus
	return r
}

func TestAPanicOverOneProbeIsAFaultOfThatProbe(t *testing.T) {
	var told []error
	disk := &panickyFiles{probe: collector}
	r := newPanickyRig(t, disk, OneWireOptions{
		Identities: []string{collector, tankTop},
		Failed:     func(err error) { told = append(told, err) },
	})
	r.tree.PutC(collector, 70)
	r.tree.PutC(tankTop, 50)
	r.run()
	r.passed()
	r.wantC(tankTop, 50)
	r.wantFault(collector, ReaderFailed)
	var fault *Fault
	if !errors.As(r.latest(collector).Fault, &fault) || !strings.Contains(fault.Detail, "guard_test.go:") || !strings.Contains(fault.Detail, "out of range") {
		t.Errorf("the fault does not say what failed where: %v", fault)
	}
	for range 4 {
		r.nextPass()
	}
	if n := r.Mistakes(); n != 5 {
		t.Errorf("%d mistakes counted in 5 passes", n)
	}
	if len(told) != 1 || !strings.Contains(told[0].Error(), "bus 1-wire") {
		t.Errorf("told %q", told)
	}
	disk.probe = ""
	r.nextPass()
	r.wantC(collector, 70)
	if _, _, stuck := r.Stuck(); stuck {
		t.Error("the bus counts as stuck")
	}
}

func TestAPanicOverTheTreeLeavesTheProbesReadable(t *testing.T) {
	disk := &panickyFiles{listing: true}
	r := newPanickyRig(t, disk, OneWireOptions{Identities: []string{tankTop}, OneConversionForAll: true})
	r.tree.PutC(tankTop, 50)
	r.run()
	r.passed()
	r.wantC(tankTop, 50)
	if r.Mistakes() == 0 {
		t.Error("not counted")
	}
	disk.listing = false
	r.nextPass()
	if !slices.Equal(r.Strangers(), []string{}) {
		t.Errorf("strangers %q", r.Strangers())
	}
}
