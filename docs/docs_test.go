// Package docs_test keeps what people read true: the pages under docs, and what the
// other pages of the tree send their readers to.
package docs_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"sunstoker/docs/pagetest"
)

var (
	fence   = regexp.MustCompile("(?ms)^```(\\w*)([^\n]*)\n(.*?)^```$")
	link    = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	heading = regexp.MustCompile(`(?m)^#+ (.+)$`)
)

// block is a fenced block of a page: the first word behind its fence, what follows
// it, and the lines.
type block struct{ kind, rest, text string }

func blocks(page string) (all []block) {
	for _, m := range fence.FindAllStringSubmatch(page, -1) {
		all = append(all, block{m[1], strings.TrimSpace(m[2]), m[3]})
	}
	return all
}

// anchor is a heading as links write it.
func anchor(heading string) string {
	kept := regexp.MustCompile(`[^\p{L}\p{N} _-]`).ReplaceAllString(strings.ToLower(heading), "")
	return strings.ReplaceAll(kept, " ", "-")
}

// TestLinksLeadSomewhere within the tree: to a file, and to a heading of it.
func TestLinksLeadSomewhere(t *testing.T) {
	links := 0
	for page, text := range pagetest.All(t, "..") {
		for _, m := range link.FindAllStringSubmatch(fence.ReplaceAllString(text, ""), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			links++
			file, section, _ := strings.Cut(m[1], "#")
			path := filepath.Join("..", filepath.Dir(page), file)
			if file == "" {
				path = filepath.Join("..", page)
			}
			if _, err := os.Stat(path); err != nil {
				t.Errorf("%s links to %s: %v", page, m[1], err)
				continue
			}
			if section == "" {
				continue
			}
			found := heading.FindAllStringSubmatch(pagetest.Read(t, path), -1)
			if !slices.ContainsFunc(found, func(h []string) bool { return anchor(h[1]) == section }) {
				t.Errorf("%s links to %s, and there is no such heading", page, m[1])
			}
		}
	}
	if links < 30 {
		t.Errorf("%d links were found; are they written in another way now?", links)
	}
}

// TestEveryPageIsListed by the page that one comes to first.
func TestEveryPageIsListed(t *testing.T) {
	index := pagetest.Read(t, "README.md")
	for page := range pagetest.All(t, "..") {
		name, ours := strings.CutPrefix(page, "docs/")
		if !ours {
			name = "../" + page
		}
		switch {
		case name == "README.md", page == "README.md", page == "CHANGELOG.md":
			continue
		case strings.HasPrefix(name, "decisions/") && name != "decisions/README.md":
			continue
		}
		if !strings.Contains(index, "]("+name+")") {
			t.Errorf("docs/README.md does not list %s", name)
		}
	}
}

// TestReadmeIsShortAndQuotesTheFigures as the page of all figures has them.
func TestReadmeIsShortAndQuotesTheFigures(t *testing.T) {
	readme := pagetest.Read(t, "../README.md")
	if words := len(strings.Fields(readme)); words > 1200 {
		t.Errorf("README.md has %d words: what is long goes to a page of its own", words)
	}
	figures := strings.ReplaceAll(pagetest.Read(t, "figures.md"), "](../", "](")
	rows := 0
	for row := range strings.Lines(readme) {
		if strings.HasPrefix(row, "| ") {
			rows++
			if !strings.Contains(figures, strings.TrimSpace(row)) {
				t.Errorf("docs/figures.md has no such row: %s", row)
			}
		}
	}
	if rows < 5 {
		t.Errorf("%d figures", rows)
	}
	if picture, err := os.Stat("page.png"); err != nil || picture.Size() > 150_000 {
		t.Errorf("the page's picture: %v, %v", picture, err)
	}
}
