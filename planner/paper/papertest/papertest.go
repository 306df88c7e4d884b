// Package papertest helps to test what is made to be printed.
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
