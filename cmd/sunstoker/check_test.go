package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestCheckReadsTheForecast that a site file names: what is wrong with it is told
// with its line, and one that is not there yet is no mistake.
func TestCheckReadsTheForecast(t *testing.T) {
	text, err := os.ReadFile("../../deploy/sites/highland-house.toml")
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	file, light := filepath.Join(folder, "house.toml"), filepath.Join(folder, "light.csv")
	if err := os.WriteFile(file, append(text, "\n[forecast]\nfile = \""+light+"\"\n"...), 0o644); err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	check := checkCommand{File: file}
	if err := check.Run(&surroundings{stdout: &out}); err != nil || !strings.Contains(out.String(), "in order") {
		t.Fatalf("without such a file: %v, %q", err, out.String())
	}
	if err := os.WriteFile(light, []byte("time,light\ntomorrow,200\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := check.Run(&surroundings{stdout: &out}); err == nil || !strings.HasPrefix(err.Error(), light+`: line 2: "tomorrow" is no time with its zone`) {
		t.Errorf("with a wrong one: %v", err)
	}
}
