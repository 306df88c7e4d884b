package sensors

import (
	"errors"
	"io/fs"
	"path/filepath"
	"slices"
	"syscall"
)

// DefaultOneWireRoot is where the kernel lists the parts on its 1-wire buses.
const DefaultOneWireRoot = "/sys/bus/w1/devices"

// recordFile shows the bytes; its neighbour "temperature" hides them, and with
// them the difference between 0 °C and a bus held low.
const recordFile = "w1_slave"

// tree is the kernel's folder of 1-wire parts.
type tree struct {
	root  string
	files files
}

func (t *tree) recordPath(identity string) string {
	return filepath.Join(t.root, identity, recordFile)
}

// record asks one probe.
func (t *tree) record(identity string) (*record, *Fault) {
	text, err := t.files.read(t.recordPath(identity))
	if err != nil {
		return nil, t.explain(identity, err)
	}
	return parseRecord(text)
}

// identities lists everything on the tree that has the name of a part, sorted.
func (t *tree) identities() ([]string, error) {
	names, err := t.files.list(t.root)
	if err != nil {
		return nil, err
	}
	names = slices.DeleteFunc(names, func(name string) bool { return CheckIdentity(name) != nil })
	slices.Sort(names)
	return names, nil
}

// explain turns an error of the file system into a fault.
func (t *tree) explain(identity string, err error) *Fault {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return t.explainMissing(identity)
	case errors.Is(err, syscall.ENODEV), errors.Is(err, syscall.ENXIO):
		// The folder went away between opening and reading.
		return absent(identity)
	}
	return fileFault(err)
}

func (t *tree) explainMissing(identity string) *Fault {
	names, err := t.files.list(t.root)
	switch {
	case err != nil:
		return t.explainRoot(err)
	case slices.Contains(names, identity):
		return faultf(ReadFailed, "the folder of %s is there, its file %s is not; check that the kernel module w1_therm is loaded", identity, recordFile)
	}
	return absent(identity)
}

// explainRoot is explain for the tree as a whole.
func (t *tree) explainRoot(err error) *Fault {
	if errors.Is(err, fs.ErrNotExist) {
		return faultf(BusAbsent, "there is no folder %s; check that the board's 1-wire overlay is enabled and the kernel module wire is loaded", t.root)
	}
	return fileFault(err)
}

func fileFault(err error) *Fault {
	if !errors.Is(err, fs.ErrPermission) {
		return &Fault{Kind: ReadFailed, Cause: err}
	}
	fault := faultf(Denied, "make it readable for the user the program runs as")
	fault.Cause = err
	return fault
}

func absent(identity string) *Fault {
	return faultf(Absent, "%s is not listed; check plug, cable and supply", identity)
}
