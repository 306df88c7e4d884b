// Package pagetest is how tests read what people read: the pages of the tree, and the
// tests that pages name.
package pagetest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Read gives a file of the tree, or ends the test.
func Read(t testing.TB, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// All are all pages of the tree that lies at root, by their path from there.
func All(t testing.TB, root string) map[string]string {
	t.Helper()
	texts := map[string]string{}
	for _, pattern := range []string{"*.md", "docs/*.md", "docs/*/*.md", "deploy/*.md", "deploy/*/*.md"} {
		for _, path := range Files(t, filepath.Join(root, pattern)) {
			texts[strings.TrimPrefix(path, root+"/")] = Read(t, path)
		}
	}
	return texts
}

// Files are those that a pattern fits; one that fits none ends the test.
func Files(t testing.TB, pattern string) []string {
	t.Helper()
	found, err := filepath.Glob(pattern)
	if err != nil || len(found) == 0 {
		t.Fatalf("no files at %s: %v", pattern, err)
	}
	return found
}

// Functions are the names of the functions in the test files of a folder: tests,
// benchmarks, fuzz targets and what helps them.
func Functions(t testing.TB, folder string) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	for _, path := range Files(t, filepath.Join(folder, "*_test.go")) {
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			if f, is := d.(*ast.FuncDecl); is && f.Recv == nil {
				names[f.Name.Name] = true
			}
		}
	}
	return names
}
