package docs_test

import (
	"go/ast"
	"go/constant"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

// names is what a folder declares: functions, types, constants and variables, methods
// and fields as "Type.name"; with the value of what is a plain figure.
type names struct {
	declared map[string]bool
	value    map[string]constant.Value
}

func namesIn(t *testing.T, folder string) names {
	t.Helper()
	n := names{map[string]bool{}, map[string]constant.Value{}}
	files, err := filepath.Glob(filepath.Join("..", folder, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			n.add(d)
		}
	}
	return n
}

func (n names) add(d ast.Decl) {
	switch d := d.(type) {
	case *ast.FuncDecl:
		n.declared[receiver(d)+d.Name.Name] = true
	case *ast.GenDecl:
		for _, s := range d.Specs {
			switch s := s.(type) {
			case *ast.TypeSpec:
				n.declared[s.Name.Name] = true
			case *ast.ValueSpec:
				for i, name := range s.Names {
					n.declared[name.Name] = true
					if i < len(s.Values) {
						n.value[name.Name] = figure(s.Values[i])
					}
				}
			}
		}
	}
}

// receiver is a method's type with a dot behind it.
func receiver(f *ast.FuncDecl) string {
	if f.Recv == nil || len(f.Recv.List) == 0 {
		return ""
	}
	of := f.Recv.List[0].Type
	if star, is := of.(*ast.StarExpr); is {
		of = star.X
	}
	if name, is := of.(*ast.Ident); is {
		return name.Name + "."
	}
	return ""
}

// figure is the value of a literal, nil of anything else.
func figure(e ast.Expr) constant.Value {
	switch e := e.(type) {
	case *ast.BasicLit:
		return constant.MakeFromLiteral(e.Value, e.Kind, 0)
	case *ast.UnaryExpr:
		if v := figure(e.X); v != nil {
			return constant.UnaryOp(e.Op, v, 0)
		}
	}
	return nil
}

// named is a name of the code in a page: the folder, and what it declares.
var named = regexp.MustCompile("`([a-z]+(?:/[a-z]+)*)\\.([A-Za-z]\\w*(?:\\.[A-Za-z]\\w*)?)`( = (-?[0-9][0-9.e-]*))?")

// TestNamesOfTheCodeAreThere, and have the values that pages give them.
func TestNamesOfTheCodeAreThere(t *testing.T) {
	known := map[string]names{}
	found, valued := 0, 0
	for page, text := range pagetest.All(t, "..") {
		if !strings.HasPrefix(page, "docs/") {
			continue
		}
		for _, m := range named.FindAllStringSubmatch(text, -1) {
			folder, name, value := m[1], m[2], m[4]
			if folder == "sunstoker" {
				folder = "."
			}
			if !isFolder(filepath.Join("..", folder)) {
				continue // a file, or a host
			}
			if _, read := known[folder]; !read {
				known[folder] = namesIn(t, folder)
			}
			found++
			if !known[folder].declared[name] {
				t.Errorf("%s names %s.%s, and nothing there is called so", page, folder, name)
			}
			if value == "" {
				continue
			}
			valued++
			says := constant.MakeFromLiteral(strings.TrimRight(value, ".-"), token.FLOAT, 0)
			if is := known[folder].value[name]; is == nil || !constant.Compare(constant.ToFloat(is), token.EQL, says) {
				t.Errorf("%s says that %s.%s is %s; it is %v", page, folder, name, value, is)
			}
		}
	}
	if found < 60 || valued < 25 {
		t.Errorf("%d names and %d values were found; are they written in another way now?", found, valued)
	}
}

// TestFilesThatPagesNameAreThere, where a page names one by its path from the root.
func TestFilesThatPagesNameAreThere(t *testing.T) {
	file := regexp.MustCompile("`([\\w.-]+(?:/[\\w.-]+)+)`")
	for page, text := range pagetest.All(t, "..") {
		if strings.HasPrefix(page, "deploy/") {
			continue // whose pages name files from their own folders
		}
		for _, m := range file.FindAllStringSubmatch(text, -1) {
			if name := named.FindStringSubmatch(m[0]); name != nil && isFolder("../"+name[1]) {
				continue // a name of the code
			}
			if first, _, _ := strings.Cut(m[1], "/"); first == "build" || !isFolder("../"+first) {
				continue
			}
			if _, err := os.Stat(filepath.Join("..", m[1])); err != nil {
				t.Errorf("%s names %s: %v", page, m[1], err)
			}
		}
	}
}

// TestDeveloperPageNamesWhatThereIs: names such as maxVotes, that only code has.
func TestDeveloperPageNamesWhatThereIs(t *testing.T) {
	code := map[string]bool{}
	err := filepath.WalkDir("..", func(path string, entry fs.DirEntry, err error) error {
		if err == nil && (entry.Name() == "node_modules" || path == "../build") {
			return filepath.SkipDir
		}
		if err == nil && filepath.Ext(path) == ".go" {
			for _, word := range regexp.MustCompile(`\w+`).FindAllString(pagetest.Read(t, path), -1) {
				code[word] = true
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, m := range regexp.MustCompile("`(\\w*[a-z][A-Z]\\w*)`").FindAllStringSubmatch(pagetest.Read(t, "../DEVELOPERS.md"), -1) {
		if found++; !code[m[1]] {
			t.Errorf("DEVELOPERS.md names %s, and nothing in the tree is called so", m[1])
		}
	}
	if found < 10 {
		t.Errorf("%d names were found; are they written in another way now?", found)
	}
}

func isFolder(path string) bool {
	at, err := os.Stat(path)
	return err == nil && at.IsDir()
}

// TestPlantModelNamesEveryFormula of physics that the simulated house goes by.
func TestPlantModelNamesEveryFormula(t *testing.T) {
	page := pagetest.Read(t, "plant-model.md")
	used := map[string]bool{}
	for _, room := range []string{"../sim", "../site/twin"} {
		err := filepath.WalkDir(room, func(path string, _ fs.DirEntry, err error) error {
			if err != nil || filepath.Ext(path) != ".go" || strings.HasSuffix(path, "_test.go") {
				return err
			}
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
			if err != nil {
				return err
			}
			ast.Inspect(file, func(n ast.Node) bool {
				if s, is := n.(*ast.SelectorExpr); is {
					if from, is := s.X.(*ast.Ident); is && from.Name == "physics" {
						used[s.Sel.Name] = true
					}
				}
				return true
			})
			return nil
		})
		if err != nil {
			t.Fatal(err)
		}
	}
	for name := range used {
		if !strings.Contains(page, "`physics."+name+"`") {
			t.Errorf("the simulator uses physics.%s, and the page does not tell of it", name)
		}
	}
	if len(used) < 20 {
		t.Errorf("%d formulas were found", len(used))
	}
}
