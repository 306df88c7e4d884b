package site

import (
	"errors"
	"fmt"
	"strings"
	"testing"
)

// TestManyUnknownNamesAreToldInTheOrderOfTheFile writes them against the
// alphabet.
func TestManyUnknownNamesAreToldInTheOrderOfTheFile(t *testing.T) {
	var text strings.Builder
	const lines = 3000
	for i := range lines {
		fmt.Fprintf(&text, "strange_%04d = 1\n", lines-i)
	}
	_, err := Parse("x.toml", []byte(text.String()))
	var mistakes *Mistakes
	if !errors.As(err, &mistakes) {
		t.Fatal(err)
	}
	told := 0
	for _, m := range mistakes.List {
		if !strings.HasPrefix(m.Key, "strange_") {
			continue
		}
		told++
		if want := fmt.Sprintf("strange_%04d", lines+1-told); m.Line != told || m.Key != want {
			t.Fatalf("the unknown name %d is told as %v, want %s", told, m, want)
		}
	}
	if told != manyUnknown {
		t.Errorf("%d names are told, want %d", told, manyUnknown)
	}
	if rest := "x.toml:101: 2900 more names at the top of the file, from here on, are not known"; !strings.Contains(err.Error(), rest) {
		t.Errorf("no %q in the messages", rest)
	}
}
