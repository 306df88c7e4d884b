//go:build footprint

package main

import (
	"bufio"
	"bytes"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestFootprintKeepsNoMethodsInVain asks the linker who looks methods up by names that
// it can't know. A single such function makes it keep every exported method of every
// type of the program, which is a tenth of its file.
func TestFootprintKeepsNoMethodsInVain(t *testing.T) {
	var reached bytes.Buffer
	link := exec.Command("go", "build", "-ldflags=-dumpdep", "-o", filepath.Join(t.TempDir(), "sunstoker"), ".")
	link.Stderr = &reached
	if err := link.Run(); err != nil {
		t.Fatalf("%v: %s", err, reached.String())
	}
	edges := 0
	for lines := bufio.NewScanner(&reached); lines.Scan(); edges++ {
		if from, to, _ := strings.Cut(lines.Text(), " -> "); strings.HasSuffix(to, "<ReflectMethod>") {
			t.Errorf("%s looks methods up by names that only it knows, called by %s", to, from)
		}
	}
	if edges < 10_000 {
		t.Errorf("the linker told of %d calls; does it still tell them as this test reads them?", edges)
	}
}
