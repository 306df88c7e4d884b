package sunstoker_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunstoker/control"
)

// What people read before they trust a plant to the program must be true of
// the tree that it came with.

const safetyPage = "SAFETY.md"

// testName is how a page names a test: the folder, or the module for the root,
// and the function.
var testName = regexp.MustCompile("`([a-z][a-z/]*)\\.(Test[A-Z]\\w*)`")

func readPage(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// section gives the lines under a heading of the second level, up to the next.
func section(t *testing.T, page, heading string) string {
	t.Helper()
	_, rest, found := strings.Cut(page, "\n## "+heading+"\n")
	if !found {
		t.Fatalf("there is no heading %q", heading)
	}
	body, _, _ := strings.Cut(rest, "\n## ")
	return body
}

// testsIn gives the names of the test functions of a folder.
func testsIn(t *testing.T, folder string) map[string]bool {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(folder, "*_test.go"))
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]bool{}
	for _, file := range files {
		parsed, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, decl := range parsed.Decls {
			if f, ok := decl.(*ast.FuncDecl); ok && f.Recv == nil && f.Type.Params.NumFields() == 1 {
				found[f.Name.Name] = true
			}
		}
	}
	return found
}

func TestEveryPromiseOfSafetyIsProved(t *testing.T) {
	known := map[string]map[string]bool{}
	proof := func(named []string) {
		folder, test := named[1], named[2]
		if folder == module {
			folder = "."
		}
		if known[folder] == nil {
			known[folder] = testsIn(t, folder)
		}
		if !known[folder][test] {
			t.Errorf("%s names %s.%s, and there is no such test", safetyPage, named[1], test)
		}
	}
	rules := 0
	for line := range strings.Lines(section(t, readPage(t, safetyPage), "What the program promises")) {
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| ---") || strings.HasPrefix(line, "| Rule ") {
			continue
		}
		rules++
		named := testName.FindAllStringSubmatch(line, -1)
		if len(named) == 0 || strings.Count(line, "`") != 2*len(named) {
			t.Errorf("a rule names no test, or names one in another way than `folder.TestName`: %s", line)
		}
		for _, n := range named {
			proof(n)
		}
	}
	if rules < 20 {
		t.Errorf("%s lists %d rules; has its table another form now?", safetyPage, rules)
	}
}

// TestSafetyQuotesTheRealDefaults: a figure that an installer relies on must
// not stay behind when the settings table moves on.
func TestSafetyQuotesTheRealDefaults(t *testing.T) {
	page := strings.Join(strings.Fields(readPage(t, safetyPage)), " ")
	quotes := regexp.MustCompile("`([a-z_]+)` \\(default ([^)]+)\\)").FindAllStringSubmatch(page, -1)
	if len(quotes) < 5 {
		t.Errorf("%s quotes %d defaults; does it write them in another way now?", safetyPage, len(quotes))
	}
	for _, q := range quotes {
		row, known := control.SettingNamed(q[1])
		if !known {
			t.Errorf("%s names the setting %s, and there is none", safetyPage, q[1])
		} else if row.DefaultText() != q[2] {
			t.Errorf("%s says that %s is %s by default; it is %s", safetyPage, q[1], q[2], row.DefaultText())
		}
	}
}

// TestDeveloperPageNamesWhatIsThere: its files and its make targets.
func TestDeveloperPageNamesWhatIsThere(t *testing.T) {
	page, makefile := readPage(t, "DEVELOPERS.md"), readPage(t, "Makefile")
	files := regexp.MustCompile("`([\\w./-]+\\.(?:go|md|json|csv|toml))`").FindAllStringSubmatch(page, -1)
	targets := regexp.MustCompile("`(?:FUZZTIME=\\w+ )?make ([a-z-]+)`").FindAllStringSubmatch(page, -1)
	if len(files) < 10 || len(targets) < 5 {
		t.Errorf("the page names %d files and %d targets; does it write them in another way now?", len(files), len(targets))
	}
	for _, f := range files {
		if _, err := os.Stat(f[1]); err != nil {
			t.Errorf("DEVELOPERS.md names %s: %v", f[1], err)
		}
	}
	for _, target := range targets {
		if !strings.Contains(makefile, "\n"+target[1]+":") {
			t.Errorf("DEVELOPERS.md names make %s, and there is no such target", target[1])
		}
	}
}
