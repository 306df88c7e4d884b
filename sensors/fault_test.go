package sensors

import (
	"errors"
	"fmt"
	"io/fs"
	"syscall"
	"testing"
)

func TestFaultKindsAreToldApart(t *testing.T) {
	labels := map[string]bool{}
	for _, kind := range FaultKinds() {
		if labels[kind.Label()] || kind.Label() == "unknown" {
			t.Errorf("kind %d has label %q", kind, kind.Label())
		}
		labels[kind.Label()] = true
		wrapped := fmt.Errorf("collector: %w", &Fault{Kind: kind, Cause: fs.ErrPermission})
		for _, other := range FaultKinds() {
			if errors.Is(wrapped, other) != (kind == other) {
				t.Errorf("%v taken for %v", kind, other)
			}
		}
		if !errors.Is(wrapped, fs.ErrPermission) {
			t.Errorf("%v hides its cause", kind)
		}
	}
	if len(labels) != len(kindTexts) {
		t.Errorf("%d labels for %d kinds", len(labels), len(kindTexts))
	}
}

type brokenFiles struct{ readErr, listErr error }

func (b brokenFiles) read(string) ([]byte, error)   { return nil, b.readErr }
func (b brokenFiles) write(string, string) error    { return b.readErr }
func (b brokenFiles) list(string) ([]string, error) { return []string{"28-000000000001"}, b.listErr }

func TestFileErrorsInWords(t *testing.T) {
	missing := &fs.PathError{Op: "open", Path: "w1_slave", Err: syscall.ENOENT}
	for name, c := range map[string]struct {
		files brokenFiles
		want  FaultKind
	}{
		"no permission":              {brokenFiles{readErr: syscall.EACCES}, Denied},
		"gone between open and read": {brokenFiles{readErr: syscall.ENODEV}, Absent},
		"input or output error":      {brokenFiles{readErr: syscall.EIO}, ReadFailed},
		"folder without record":      {brokenFiles{readErr: missing}, ReadFailed},
		"no tree":                    {brokenFiles{missing, missing}, BusAbsent},
		"tree not permitted":         {brokenFiles{missing, syscall.EACCES}, Denied},
		"tree cannot be listed":      {brokenFiles{missing, syscall.EIO}, ReadFailed},
	} {
		tr := &tree{"/nowhere", c.files}
		if _, fault := tr.record("28-000000000001"); !errors.Is(fault, c.want) {
			t.Errorf("%s: %v, want %v", name, fault, c.want)
		}
	}
	tr := &tree{"/nowhere", brokenFiles{readErr: missing}}
	if _, fault := tr.record("28-000000000002"); !errors.Is(fault, Absent) {
		t.Errorf("probe that is not listed: %v", fault)
	}
}
