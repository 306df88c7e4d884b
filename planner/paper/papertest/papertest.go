// Package papertest helps to test what is made to be read: against what it was, and
// whether it prints on its sheets.
package papertest

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// PrintsOn fails unless a page prints on so many sheets, where there is a browser to
// print it with.
func PrintsOn(t *testing.T, sheets int, page string) {
	t.Helper()
	browser, err := exec.LookPath("chromium")
	if err != nil {
		t.Log("on how many sheets it prints is not tried: there is no chromium")
		return
	}
	folder := t.TempDir()
	html, pdf := filepath.Join(folder, "page.html"), filepath.Join(folder, "page.pdf")
	if err := os.WriteFile(html, []byte(page), 0o644); err != nil {
		t.Fatal(err)
	}
	print := exec.Command(browser, "--headless", "--no-sandbox", "--disable-gpu", "--user-data-dir="+folder, "--no-pdf-header-footer", "--print-to-pdf="+pdf, html)
	if out, err := print.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	data, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(data), "/Type /Page\n") + strings.Count(string(data), "/Type /Page "); n != sheets {
		t.Errorf("it prints on %d sheets, want %d", n, sheets)
	}
}

// Kept holds what is made against the file that it is kept in, or, to write the file
// anew, puts it there.
func Kept(t *testing.T, path, got string, anew bool) {
	t.Helper()
	if anew {
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v; -update writes it", err)
	}
	if got != string(want) {
		t.Errorf("%s differs; -update writes it anew: read the difference. It is now\n%s", path, got)
	}
}
