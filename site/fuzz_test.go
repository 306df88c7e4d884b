package site

import (
	"errors"
	"os"
	"path/filepath"
	"testing"

	"sunstoker/control"
)

// FuzzParse wants either a site that the controller takes, or mistakes that
// each say where, what and what to do.
func FuzzParse(f *testing.F) {
	f.Add([]byte(Starter()))
	for _, pattern := range []string{"testdata/*/*.toml", "../deploy/sites/*.toml"} {
		files, err := filepath.Glob(pattern)
		if err != nil || len(files) == 0 {
			f.Fatalf("%s: %v, %v", pattern, files, err)
		}
		for _, file := range files {
			data, err := os.ReadFile(file)
			if err != nil {
				f.Fatal(err)
			}
			f.Add(data)
		}
	}
	f.Fuzz(func(t *testing.T, data []byte) { checkParse(t, data) })
}

// checkParse wants of any text what [FuzzParse] says.
func checkParse(t interface {
	Errorf(format string, args ...any)
}, data []byte) {
	before := string(data)
	s, err := Parse("x.toml", data)
	if string(data) != before {
		t.Errorf("Parse has changed its input")
	}
	if err == nil {
		if _, err := control.New(s.Plan); err != nil {
			t.Errorf("the site is read, but the controller refuses it: %v", err)
		}
		return
	}
	var mistakes *Mistakes
	if s != nil || !errors.As(err, &mistakes) || len(mistakes.List) == 0 {
		t.Errorf("got %v, %v", s, err)
		return
	}
	for _, m := range mistakes.List {
		if m.What == "" || m.Do == "" || m.File != "x.toml" || (m.Line == 0) != (m.Column == 0) || m.Line < 0 || len(m.String()) > 2000 {
			t.Errorf("a poor message: %#v", m)
		}
	}
}
