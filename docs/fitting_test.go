package docs_test

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/docs/pagetest"
	"sunstoker/site"
)

// TestTheGuidesSiteFileLoads: its pieces make a whole one, also with each of those
// that stand in the place of others.
func TestTheGuidesSiteFileLoads(t *testing.T) {
	whole, instead := guidesHouse(t)
	loads(t, whole)
	if len(instead) != 2 {
		t.Errorf("%d pieces stand in the place of others, want 2", len(instead))
	}
	for _, piece := range instead {
		loads(t, replaced(t, whole, piece))
	}
	if _, err := site.Parse("guide.toml", []byte(strings.Replace(whole, "GPIO27", "GPIO17", 1))); err == nil {
		t.Error("two outputs on one line are taken")
	}
}

// guidesHouse puts the guide's pieces together, and gives those that stand in the place
// of others.
func guidesHouse(t *testing.T) (whole string, instead []string) {
	t.Helper()
	for _, piece := range sitePieces(pagetest.Read(t, "fitting.md")) {
		if strings.HasPrefix(piece, "# instead") {
			instead = append(instead, piece)
		} else {
			whole += piece + "\n"
		}
	}
	return whole, instead
}

func sitePieces(page string) (pieces []string) {
	for _, b := range blocks(page) {
		if b.kind == "toml" {
			pieces = append(pieces, b.text)
		}
	}
	return pieces
}

// TestPiecesOfOtherPagesLoad in the guide's house. What a page on trials shows is read
// by the tests of station/trial.
func TestPiecesOfOtherPagesLoad(t *testing.T) {
	house, _ := guidesHouse(t)
	tried := 0
	for page, text := range pagetest.All(t, "..") {
		if page == "docs/fitting.md" || page == "deploy/trials/README.md" {
			continue
		}
		for _, piece := range sitePieces(text) {
			tried++
			loads(t, house+piece)
		}
	}
	if tried < 2 {
		t.Errorf("%d pieces were tried", tried)
	}
}

func loads(t *testing.T, text string) {
	t.Helper()
	s, err := site.Parse("guide.toml", []byte(text))
	if err != nil {
		t.Errorf("%v\nin\n%s", err, text)
		return
	}
	if len(s.Advice) > 0 {
		t.Errorf("the guide's file could be better: %v", s.Advice)
	}
	if _, err := control.New(s.Plan); err != nil {
		t.Error(err)
	}
}

// replaced puts a table in the place of the one with the same name.
func replaced(t *testing.T, whole, piece string) string {
	t.Helper()
	name := regexp.MustCompile(`(?m)^\[.*\]$`).FindString(piece)
	before, rest, found := strings.Cut(whole, name+"\n")
	if !found {
		t.Fatalf("%s stands in the place of nothing", name)
	}
	_, after, _ := strings.Cut(rest, "\n\n")
	return before + piece + "\n" + after
}

// TestTheGuardsPatienceIsToldRight where people read of it.
func TestTheGuardsPatienceIsToldRight(t *testing.T) {
	want := fmt.Sprintf("%g s", actuators.KeepFor.Seconds())
	for _, path := range []string{"drawings/relay-board-and-guard.svg", "decisions/guard-process.md"} {
		if !strings.Contains(pagetest.Read(t, path), " "+want+" ") {
			t.Errorf("%s does not say that outputs are kept for %s", path, want)
		}
	}
}

// TestDrawingsCanBeRead in light and dark, by people and by what reads aloud, and each
// is shown somewhere.
func TestDrawingsCanBeRead(t *testing.T) {
	shown := ""
	for page, text := range pagetest.All(t, "..") {
		if strings.HasPrefix(page, "docs/") {
			shown += text
		}
	}
	files, err := filepath.Glob("drawings/*.svg")
	if err != nil || len(files) < 7 {
		t.Fatalf("%d drawings: %v", len(files), err)
	}
	for _, path := range files {
		text := pagetest.Read(t, path)
		if err := wellFormed(text); err != nil {
			t.Errorf("%s: %v", path, err)
		}
		for _, want := range []string{"<title ", "<desc ", "prefers-color-scheme: dark", "viewBox="} {
			if !strings.Contains(text, want) {
				t.Errorf("%s has no %s", path, want)
			}
		}
		if strings.Contains(text, "href") || strings.Contains(text, "<script") {
			t.Errorf("%s fetches or runs something", path)
		}
		if !strings.Contains(shown, "]("+path+")") {
			t.Errorf("%s is shown on no page", path)
		}
	}
}

func wellFormed(text string) error {
	for d := xml.NewDecoder(strings.NewReader(text)); ; {
		if _, err := d.Token(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}
