package docs_test

import (
	"encoding/json"
	"go/format"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

// Pages that show how something is added are worked out in full: a block of Go with
// a path is a new file, a block "diff" with a path is what changes in one. The tests
// hand both to the compiler in the place of the tree's own files.

func TestTheWorkedRule(t *testing.T) {
	w := workedOut(t, "how-to-add-a-rule.md")
	w.passes(t, "control")
}

func TestTheWorkedProbeKind(t *testing.T) {
	w := workedOut(t, "how-to-add-a-probe-kind.md")
	w.passes(t, "sensors", "site")
	w.goes(t, "build", "./station")
}

// worked is a page's files over the tree.
type worked struct {
	overlay string            // file that tells the compiler of them
	texts   map[string]string // by path from the root
}

func workedOut(t *testing.T, page string) worked {
	t.Helper()
	w := worked{texts: map[string]string{}}
	for _, b := range blocks(pagetest.Read(t, page)) {
		if b.rest == "" {
			continue
		}
		path := filepath.Join("..", b.rest)
		switch b.kind {
		case "go":
			if _, err := os.Stat(path); err == nil {
				t.Fatalf("%s: %s is there already", page, b.rest)
			}
			w.texts[b.rest] = b.text
		case "diff":
			text, begun := w.texts[b.rest]
			if !begun {
				text = pagetest.Read(t, path)
			}
			w.texts[b.rest] = changed(t, b, text)
		}
	}
	w.lay(t)
	return w
}

// changed puts a change into a file. Its lines that stay must be there once.
func changed(t *testing.T, b block, text string) string {
	t.Helper()
	var before, after strings.Builder
	for l := range strings.Lines(b.text) {
		switch l[0] {
		case '+':
			after.WriteString(l[1:])
		case '-':
			before.WriteString(l[1:])
		default:
			before.WriteString(l[1:])
			after.WriteString(l[1:])
		}
	}
	if n := strings.Count(text, before.String()); n != 1 {
		t.Fatalf("%s has %d places that read\n%s", b.rest, n, before.String())
	}
	return strings.Replace(text, before.String(), after.String(), 1)
}

// lay writes the files, and the file that tells the compiler of them.
func (w *worked) lay(t *testing.T) {
	t.Helper()
	folder := t.TempDir()
	root, err := filepath.Abs("..")
	if err != nil {
		t.Fatal(err)
	}
	replace := map[string]string{}
	for path, text := range w.texts {
		formatted, err := format.Source([]byte(text))
		if err != nil || string(formatted) != text {
			t.Errorf("%s is not written as gofmt wants it (%v)", path, err)
		}
		file := filepath.Join(folder, strings.ReplaceAll(path, "/", "-"))
		if err := os.WriteFile(file, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		replace[filepath.Join(root, path)] = file
	}
	told, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		t.Fatal(err)
	}
	w.overlay = filepath.Join(folder, "overlay.json")
	if err := os.WriteFile(w.overlay, told, 0o644); err != nil {
		t.Fatal(err)
	}
}

// passes runs the tests that the page adds to some packages.
func (w *worked) passes(t *testing.T, folders ...string) {
	t.Helper()
	args := []string{"-v", "-run"}
	var tests, packages []string
	for _, folder := range folders {
		before := len(tests)
		for path, text := range w.texts {
			if filepath.Dir(path) == folder {
				for _, m := range regexp.MustCompile(`(?m)^func (Test\w+)\(`).FindAllStringSubmatch(text, -1) {
					tests = append(tests, m[1])
				}
			}
		}
		if len(tests) == before {
			t.Fatalf("the page adds no tests to %s", folder)
		}
		packages = append(packages, "./"+folder)
	}
	out := w.goes(t, "test", append(append(args, "^("+strings.Join(tests, "|")+")$"), packages...)...)
	for _, name := range tests {
		if !strings.Contains(out, "--- PASS: "+name+" ") {
			t.Errorf("%s has not passed:\n%s", name, out)
		}
	}
}

// goes runs the go command over the tree as the page makes it, and gives what it says.
func (w *worked) goes(t *testing.T, verb string, args ...string) string {
	t.Helper()
	cmd := exec.Command("go", append([]string{verb, "-overlay", w.overlay}, args...)...)
	cmd.Dir = ".."
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Errorf("%v\n%s", err, out)
	}
	return string(out)
}
