package station

import (
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"sunstoker/control"
)

// TestAHistoryThatIsNotWrittenIsFound, with its words, and the plant is looked
// after all the same.
func TestAHistoryThatIsNotWrittenIsFound(t *testing.T) {
	r := newRig(t)
	var why atomic.Pointer[string]
	r.options.Unwritten = func() string {
		if text := why.Load(); text != nil {
			return *text
		}
		return ""
	}
	r.start()
	full := "history.db: the storage is full"
	why.Store(&full)
	r.probes[collectorAt].set(70)
	r.to(3 * time.Minute)
	found := false
	for _, f := range r.kept.last().Findings {
		found = found || f.Kind == control.FoundHistoryUnwritten && strings.Contains(f.Detail, full)
	}
	if !found {
		t.Errorf("found: %+v", r.kept.last().Findings)
	}
	if r.outputs[pumpAt].Level() != 1 {
		t.Error("the pump does not run")
	}
	why.Store(nil)
	r.to(6 * time.Minute)
	if r.hasFinding(control.FoundHistoryUnwritten) {
		t.Error("it is still found")
	}
}
