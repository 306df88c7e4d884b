package sunstoker_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// TestWhatGoesFurtherInAProofIsRunThere: make proof runs tests by the beginning of
// their names, and one that goes further there under another name would never do so.
func TestWhatGoesFurtherInAProofIsRunThere(t *testing.T) {
	proofs := 0
	err := filepath.WalkDir(".", func(path string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if entry.IsDir() && (entry.Name() == "node_modules" || path == "build") {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(path, "_test.go") {
			return nil
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			return err
		}
		for _, d := range file.Decls {
			f, is := d.(*ast.FuncDecl)
			if !is || !strings.HasPrefix(f.Name.Name, "Test") || !asksForProof(f) {
				continue
			}
			if proofs++; !strings.HasPrefix(f.Name.Name, "TestProof") {
				t.Errorf("%s: %s goes further in a proof; let its name begin with TestProof", path, f.Name.Name)
			}
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if proofs < 10 {
		t.Errorf("%d tests that go further in a proof were found; do they ask in another way now?", proofs)
	}
}

// asksForProof tells whether a function looks at how far tests are to go.
func asksForProof(f *ast.FuncDecl) (asks bool) {
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.CallExpr:
			called, is := n.Fun.(*ast.Ident)
			asks = asks || is && len(n.Args) == 0 && (called.Name == "whole" || called.Name == "mostStates")
		case *ast.BasicLit:
			asks = asks || n.Value == `"SUNSTOKER_PROOF"`
		}
		return true
	})
	return asks
}
