package site

import (
	"path/filepath"
	"testing"

	"sunstoker/control"
)

func TestExampleSites(t *testing.T) {
	files, err := filepath.Glob("../deploy/sites/*.toml")
	if err != nil || len(files) < 2 {
		t.Fatalf("the example sites are not there: %v %v", files, err)
	}
	for _, file := range files {
		s, err := Load(file)
		if err != nil {
			t.Error(err)
			continue
		}
		if _, err := control.New(s.Plan); err != nil {
			t.Errorf("%s: the controller refuses the plan: %v", file, err)
		}
		for _, a := range s.Advice {
			t.Log(a)
		}
	}
}
