package site

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunstoker/control"
)

var update = flag.Bool("update", false, "write the expected messages anew; read them before they are kept")

// TestBadFiles holds the messages of every bad file against those that stand
// beside it.
func TestBadFiles(t *testing.T) {
	golden(t, "testdata/bad/*.toml", func(t *testing.T, file string) string {
		_, err := Load(file)
		var mistakes *Mistakes
		if !errors.As(err, &mistakes) {
			t.Fatalf("the file is read without a mistake: %v", err)
		}
		return mistakes.Error()
	})
}

// TestAdvice does the same for files that are right but worth a thought.
func TestAdvice(t *testing.T) {
	golden(t, "testdata/advice/*.toml", func(t *testing.T, file string) string {
		s, err := Load(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := control.New(s.Plan); err != nil {
			t.Errorf("the controller refuses the plan: %v", err)
		}
		return Lines(s.Advice)
	})
}

func golden(t *testing.T, pattern string, messages func(*testing.T, string) string) {
	t.Helper()
	files, err := filepath.Glob(pattern)
	if err != nil || len(files) < 5 {
		t.Fatalf("%s: %v, %v", pattern, files, err)
	}
	for _, file := range files {
		t.Run(filepath.Base(file), func(t *testing.T) {
			got := strings.ReplaceAll(messages(t, file), filepath.Dir(file)+"/", "") + "\n"
			beside := strings.TrimSuffix(file, ".toml") + ".want"
			if *update {
				if err := os.WriteFile(beside, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(beside)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got:\n%swant:\n%s", got, want)
			}
		})
	}
}
