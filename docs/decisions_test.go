package docs_test

import (
	"path/filepath"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

// TestDecisionsAreShort, say what they are to say, and are listed.
func TestDecisionsAreShort(t *testing.T) {
	files, err := filepath.Glob("decisions/*.md")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d records: %v", len(files), err)
	}
	index := pagetest.Read(t, "decisions/README.md")
	for _, path := range files {
		name := filepath.Base(path)
		if name == "README.md" {
			continue
		}
		text := pagetest.Read(t, path)
		title, _, _ := strings.Cut(text, "\n")
		if entry := "- [" + strings.TrimPrefix(title, "# ") + "](" + name + ")"; !strings.Contains(index, entry) {
			t.Errorf("decisions/README.md has no line %q", entry)
		}
		at := 0
		for _, part := range []string{"\n**Context.** ", "\n**Decision.** ", "\n**Consequences.** "} {
			next := strings.Index(text, part)
			if next < at || strings.Count(text, part) != 1 {
				t.Errorf("%s: %q does not stand once, in its place", path, strings.TrimSpace(part))
			}
			at = next
		}
		if words := len(strings.Fields(text)); words > 250 {
			t.Errorf("%s has %d words; half a page is enough", path, words)
		}
	}
}
