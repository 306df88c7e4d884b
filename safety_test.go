package sunstoker_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sunstoker/control"
	"sunstoker/docs/pagetest"
)

// What people read before they trust a plant to the program must be true of
// the tree that it came with.

const safetyPage = "SAFETY.md"

// testName is how a page names a test: the folder, or the module for the root,
// and the function.
var testName = regexp.MustCompile("`([a-z][a-z/]*)\\.(Test[A-Z]\\w*)`")

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

func TestEveryPromiseOfSafetyIsProved(t *testing.T) {
	known := map[string]map[string]bool{}
	proof := func(named []string) {
		folder, test := named[1], named[2]
		if folder == module {
			folder = "."
		}
		if known[folder] == nil {
			known[folder] = pagetest.Functions(t, folder)
		}
		if !known[folder][test] {
			t.Errorf("%s names %s.%s, and there is no such test", safetyPage, named[1], test)
		}
	}
	rules := 0
	for line := range strings.Lines(section(t, pagetest.Read(t, safetyPage), "What the program promises")) {
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
	if rules < 40 {
		t.Errorf("%s lists %d rules; has its table another form now?", safetyPage, rules)
	}
}

// TestSafetyQuotesTheRealDefaults: a figure that an installer relies on must
// not stay behind when the settings table moves on.
func TestSafetyQuotesTheRealDefaults(t *testing.T) {
	page := strings.Join(strings.Fields(pagetest.Read(t, safetyPage)), " ")
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

// TestDeveloperPageNamesWhatIsThere: its files, and the make targets, all of them.
func TestDeveloperPageNamesWhatIsThere(t *testing.T) {
	page, makefile := pagetest.Read(t, "DEVELOPERS.md"), pagetest.Read(t, "Makefile")
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
	for _, target := range regexp.MustCompile(`(?m)^([a-z-]+):.*## `).FindAllStringSubmatch(makefile, -1) {
		if !strings.Contains(page, "`make "+target[1]+"`") {
			t.Errorf("DEVELOPERS.md does not tell of make %s", target[1])
		}
	}
}

// TestSafetyQuotesWhatIsThere: what stands in quotes with a capital is a finding
// that the program reports, or a heading of the page.
func TestSafetyQuotesWhatIsThere(t *testing.T) {
	text := pagetest.Read(t, safetyPage)
	known := map[string]bool{}
	for _, kind := range control.FindingKinds() {
		known[kind.Title()] = true
	}
	for line := range strings.Lines(text) {
		if heading, is := strings.CutPrefix(line, "## "); is {
			known[strings.TrimSpace(heading)] = true
		}
	}
	quotes := regexp.MustCompile(`"([A-Z][^"]+)"`).FindAllStringSubmatch(strings.Join(strings.Fields(text), " "), -1)
	if len(quotes) < 5 {
		t.Errorf("%s quotes %d times; does it quote in another way now?", safetyPage, len(quotes))
	}
	for _, q := range quotes {
		if !known[q[1]] {
			t.Errorf("%s quotes %q, which is no finding and no heading", safetyPage, q[1])
		}
	}
}

// TestOnlyTheStationPassesRequestsOn: what a person asks of the controller goes by
// way of the station's desk, which keeps a record; the people and houses of the
// campaign are simulated.
func TestOnlyTheStationPassesRequestsOn(t *testing.T) {
	requests := map[string]bool{"Override": true, "Boost": true, "Holiday": true, "SetServicing": true, "NewSettings": true}
	calls := 0
	for _, p := range packages(t) {
		if r := room(p.ImportPath); r == "control" || r == "planner/campaign" {
			continue
		}
		for _, file := range p.GoFiles {
			name := filepath.Join(p.Dir, file)
			parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			ast.Inspect(parsed, func(n ast.Node) bool {
				if call, ok := n.(*ast.CallExpr); ok {
					if f, ok := call.Fun.(*ast.SelectorExpr); ok && requests[f.Sel.Name] {
						if calls++; file != "grant.go" {
							t.Errorf("%s calls %s; a request goes by way of the station's desk", name, f.Sel.Name)
						}
					}
				}
				return true
			})
		}
	}
	if calls < len(requests) {
		t.Errorf("%d calls were found; are the requests called something else now?", calls)
	}
}

// TestDeveloperPageKnowsTheRooms: its table says what rooms_test.go enforces.
func TestDeveloperPageKnowsTheRooms(t *testing.T) {
	quoted := regexp.MustCompile("`([^`]+)`")
	told := map[string]bool{}
	for line := range strings.Lines(section(t, pagetest.Read(t, "DEVELOPERS.md"), "Rooms")) {
		cells := strings.Split(line, "|")
		if len(cells) != 5 || !quoted.MatchString(cells[1]) {
			continue
		}
		name := quoted.FindStringSubmatch(cells[1])[1]
		want, known := mayImport[name]
		if !known {
			continue // a folder without Go
		}
		told[name] = true
		if strings.TrimSpace(cells[3]) == "all" {
			if len(want) != len(mayImport)-1 {
				t.Errorf("DEVELOPERS.md lets %s import all; it may import %v", name, want)
			}
			continue
		}
		var says []string
		for _, q := range quoted.FindAllStringSubmatch(cells[3], -1) {
			says = append(says, room(module+"/"+q[1]))
		}
		if !slices.Equal(says, want) {
			t.Errorf("DEVELOPERS.md lets %s import %v; it may import %v", name, says, want)
		}
	}
	for name := range mayImport {
		if !told[name] {
			t.Errorf("DEVELOPERS.md does not tell of the room %s", name)
		}
	}
}
