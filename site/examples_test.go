package site

import (
	"path/filepath"
	"strings"
	"testing"

	"sunstoker/control"
)

// TestExampleSites: those that are shipped have no mistake, and no advice but what a
// house of their kind can't avoid: a 1-wire probe near a hot collector.
func TestExampleSites(t *testing.T) {
	files, err := filepath.Glob("../deploy/sites/*.toml")
	if err != nil || len(files) < 2 {
		t.Fatalf("the example sites are not there: %v %v", files, err)
	}
	for _, file := range append(files, "../deploy/package/site.toml") {
		s, err := Load(file)
		if err != nil {
			t.Error(err)
			continue
		}
		if _, err := control.New(s.Plan); err != nil {
			t.Errorf("%s: the controller refuses the plan: %v", file, err)
		}
		for _, a := range s.Advice {
			if !strings.Contains(a.String(), "system.probe.collector: this collector can reach") {
				t.Error(a)
			}
		}
	}
}
