package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestTwoAtOneHandOver: the second is refused before it is asked anything, and goes
// on once the first has ended.
func TestTwoAtOneHandOver(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "site.toml")
	if err := os.WriteFile(file, fmt.Appendf(nil, wholeSite, folder, folder+"/w1"), 0o644); err != nil {
		t.Fatal(err)
	}
	handOver := func(stdin io.Reader, stdout, stderr io.Writer) int {
		return run(t.Context(), []string{"handover", "--allow-root", file}, stdin, stdout, stderr)
	}
	typed, keyboard := io.Pipe()
	said, stdout := io.Pipe()
	ended := make(chan int, 1)
	go func() {
		ended <- handOver(typed, stdout, os.Stderr)
		stdout.Close()
	}()
	waitFor(t, said, `^(Step 1 of \d+), `)
	var words strings.Builder
	if code := handOver(strings.NewReader(""), io.Discard, &words); code == exitGood || !strings.Contains(words.String(), "in another terminal") {
		t.Errorf("the second ended with %d, and said %q", code, words.String())
	}
	keyboard.Close()
	if code := <-ended; code != exitGood {
		t.Errorf("the first ended with %d", code)
	}
	if code := handOver(strings.NewReader(""), io.Discard, os.Stderr); code != exitGood {
		t.Errorf("the next ended with %d", code)
	}
}
