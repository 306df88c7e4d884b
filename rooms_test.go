// Package sunstoker_test holds the house rules that concern the whole tree:
// which room may import which, and that every room has a word of explanation.
package sunstoker_test

import (
	"encoding/json"
	"go/ast"
	"go/parser"
	"go/token"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "sunstoker"

// mayImport names, for each room, the rooms that it may reach, directly or
// through others. A room is a top-level folder and its sub-folders belong to
// it, but for those that stand here by themselves.
var mayImport = map[string][]string{
	"physics":            {},
	"control":            {"physics"},
	"sensors":            {},
	"actuators":          {},
	"sim":                {"physics"},
	"site":               {"control", "physics"},
	"site/twin":          {"control", "physics", "sim", "site"},
	"station":            {"control", "physics", "sensors", "actuators", "sim", "site", "site/twin", "station/request", "planner/paper", "planner/handover"},
	"station/request":    {"control", "physics", "station"},
	"station/trial":      {"control", "physics", "sensors", "actuators", "sim", "site", "site/twin", "station", "station/request", "history", "dashboard", "dashboard/door", "planner/paper", "planner/handover"},
	"history":            {"control", "physics", "station"},
	"dashboard":          {"control", "physics", "station", "station/request", "history", "dashboard/door"},
	"dashboard/door":     {},
	"dashboard/terminal": {"control", "physics", "station", "station/request", "history", "dashboard", "dashboard/door", "planner/paper"},
	"dashboard/messages": {"control", "physics", "station", "station/request", "history", "dashboard", "dashboard/door"},
	"planner":            {"control", "physics", "sim", "site", "site/twin", "planner/paper"},
	"planner/paper":      {},
	"planner/handover":   {"control", "physics", "site", "planner/paper"},
	"planner/campaign":   {"control", "physics", "sim", "site", "site/twin", "planner", "planner/paper"},
	"planner/rivals":     {"control", "physics", "sim", "site", "site/twin", "planner", "planner/paper"},
	"planner/sizing":     {"control", "physics", "sim", "site", "site/twin", "planner", "planner/paper"},
	"planner/explain":    {"control", "physics", "site", "station", "history", "planner/paper"},
	"planner/letter":     {"control", "physics", "site", "station", "history", "planner/paper", "planner/handover"},
	"planner/recorded":   {"control", "physics", "sim", "site", "site/twin", "station", "history", "planner", "planner/paper"},
	"planner/replay":     {"control", "physics", "sim", "site", "site/twin", "station", "history", "planner", "planner/paper", "planner/explain"},
	"docs":               {},
	"cmd":                {"docs", "control", "physics", "sensors", "actuators", "sim", "site", "site/twin", "station", "station/request", "station/trial", "history", "dashboard", "dashboard/door", "dashboard/messages", "dashboard/terminal", "planner", "planner/paper", "planner/handover", "planner/campaign", "planner/rivals", "planner/sizing", "planner/explain", "planner/letter", "planner/replay", "planner/recorded"},
}

// onlyTick lists rooms that know the tick that the daemon hands out, but
// nothing else of the daemon.
var onlyTick = []string{"dashboard", "dashboard/messages", "dashboard/terminal", "history", "planner/explain", "planner/letter", "planner/replay", "planner/recorded", "station/request"}

type listed struct {
	ImportPath, Dir, Doc string
	GoFiles              []string
	Imports, Deps        []string
}

func packages(t *testing.T) []listed {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Dir,Doc,GoFiles,Imports,Deps", "./...").Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var all []listed
	for dec := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p listed
		if err := dec.Decode(&p); err == io.EOF {
			return all
		} else if err != nil {
			t.Fatal(err)
		}
		if len(p.GoFiles) > 0 {
			all = append(all, p)
		}
	}
}

func room(path string) string {
	rest, ours := strings.CutPrefix(path, module+"/")
	if !ours {
		return ""
	}
	if _, itself := mayImport[rest]; itself {
		return rest
	}
	name, _, _ := strings.Cut(rest, "/")
	return name
}

func TestRoomsKeepToTheirImports(t *testing.T) {
	for _, p := range packages(t) {
		from := room(p.ImportPath)
		allowed, known := mayImport[from]
		if !known {
			t.Errorf("%s: no room of the house has this name", p.ImportPath)
		}
		for _, dep := range p.Deps {
			to := room(dep)
			if to == "" || to == from {
				continue
			}
			if !slices.Contains(allowed, to) {
				t.Errorf("%s reaches %s; %s may reach %v only", p.ImportPath, dep, from, allowed)
			}
			if to == "station" && slices.Contains(onlyTick, from) && dep != module+"/station/tick" {
				t.Errorf("%s reaches %s; of station it may know the tick alone", p.ImportPath, dep)
			}
		}
	}
}

// TestProgramFillsInNoTemplates: the templates of the standard library look methods up
// by their names at run time, for which the linker keeps every exported method of
// every type: a tenth of the program's file. "make footprint" finds whatever else
// does so.
func TestProgramFillsInNoTemplates(t *testing.T) {
	all := packages(t)
	program := slices.IndexFunc(all, func(p listed) bool { return p.ImportPath == module+"/cmd/sunstoker" })
	if program < 0 {
		t.Fatal("the program's package was not found")
	}
	for _, p := range all {
		if !slices.Contains(all[program].Deps, p.ImportPath) {
			continue
		}
		for _, to := range p.Imports {
			if to == "text/template" || to == "html/template" {
				t.Errorf("%s uses %s; make pages with planner/paper instead", p.ImportPath, to)
			}
		}
	}
}

func TestEveryPackageSaysWhatItIs(t *testing.T) {
	for _, p := range packages(t) {
		if len(p.Doc) < 20 {
			t.Errorf("%s has no package comment", p.ImportPath)
		}
	}
}

// TestControlDecidesAndDoesNothingElse: no clock, no input or output, no
// randomness; the same holds for the formulas it uses. TestRoomsWithoutGoroutines
// holds the rest.
func TestControlDecidesAndDoesNothingElse(t *testing.T) {
	allowed := []string{"cmp", "encoding/json", "errors", "fmt", "iter", "maps", "math", "slices", "sort", "strconv", "strings", "time", "unicode", "unicode/utf8", module + "/physics"}
	var files []string
	for _, room := range []string{"control/*.go", "physics/*.go"} {
		found, err := filepath.Glob(room)
		if err != nil || len(found) == 0 {
			t.Fatalf("no files in %s: %v", room, err)
		}
		files = append(files, found...)
	}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, imp := range file.Imports {
			if path, _ := strconv.Unquote(imp.Path.Value); !slices.Contains(allowed, path) {
				t.Errorf("%s imports %s", name, path)
			}
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if x, ok := n.(*ast.SelectorExpr); ok {
				if pkg, ok := x.X.(*ast.Ident); ok && pkg.Name == "time" {
					switch x.Sel.Name {
					case "Now", "Since", "Until", "Sleep", "After", "AfterFunc", "Tick", "NewTimer", "NewTicker", "LoadLocation":
						t.Errorf("%s calls time.%s", name, x.Sel.Name)
					}
				}
			}
			return true
		})
	}
}

// TestRoomsWithoutGoroutines: the race detector leaves these out (make race), since
// nothing in them runs beside something else. Whoever runs them beside each other
// is tried with it.
func TestRoomsWithoutGoroutines(t *testing.T) {
	for _, room := range []string{
		"control", "docs", "physics", "sim", "site", "planner/explain", "planner/handover", "planner/letter", "planner/paper", "planner/recorded",
		"planner/replay",
	} {
		err := filepath.WalkDir(room, func(name string, e fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(name) != ".go" || strings.HasSuffix(name, "_test.go") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				switch n.(type) {
				case *ast.GoStmt, *ast.ChanType, *ast.SelectStmt:
					t.Errorf("%s starts a goroutine or uses a channel", name)
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Error(err)
		}
	}
}

// TestTopLevelIsAsPlanned: a newcomer finds the room by the folder's name, so
// no folder comes in by the way.
func TestTopLevelIsAsPlanned(t *testing.T) {
	planned := []string{"actuators", "build", "cmd", "control", "dashboard", "deploy", "docs", "history", "physics", "planner", "sensors", "sim", "site", "station"}
	entries, err := os.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if e.IsDir() && !strings.HasPrefix(e.Name(), ".") && !slices.Contains(planned, e.Name()) {
			t.Errorf("folder %s is in nobody's plan", e.Name())
		}
	}
}
