package dashboard

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"sunstoker/dashboard/door"
)

// TestAPIPageTellsTheTruth sends every request of the page to the real handler; what
// stands below it must be in the answer.
func TestAPIPageTellsTheTruth(t *testing.T) {
	text, err := os.ReadFile("../docs/api.md")
	if err != nil {
		t.Fatal(err)
	}
	ask := regexp.MustCompile("(?s)```http\n(\\w+) (\\S+)\n(.*?)```\n\n```json\n(.*?)```").FindAllStringSubmatch(string(text), -1)
	if len(ask) < 8 || len(ask) != strings.Count(string(text), "```http\n") {
		t.Fatalf("%d requests with an answer were found", len(ask))
	}
	present, _ := asking()
	past := behindDoor(remembering(lived(t, t.TempDir(), 3)), door.See)
	for _, m := range ask {
		method, target, rest, shown := m[1], m[2], m[3], m[4]
		var asked http.Handler = present
		if strings.HasPrefix(target, "/api/history/") {
			asked = past
		}
		_, body, _ := strings.Cut(rest, "\n\n")
		if wrong := contains(send(asked, method, target, strings.TrimSpace(body)).Body.Bytes(), []byte(shown)); wrong != nil {
			t.Errorf("%s %s: %v", method, target, wrong)
		}
	}
	if contains([]byte(`{"a": [{"b": 1, "c": 2}]}`), []byte(`{"a": [{"b": 2}]}`)) == nil {
		t.Error("another figure passes")
	}
}

// TestAPIPageNamesWaysInThatThereAre also outside of examples.
func TestAPIPageNamesWaysInThatThereAre(t *testing.T) {
	text, err := os.ReadFile("../docs/api.md")
	if err != nil {
		t.Fatal(err)
	}
	served := map[string]bool{}
	for _, r := range New(Options{}).apiRoutes() {
		served[r.path] = true
	}
	for _, m := range regexp.MustCompile("`(?:[A-Z]+ )?(/api/[^`]*)`").FindAllStringSubmatch(string(text), -1) {
		if !served[m[1]] {
			t.Errorf("the page names %s, and there is no such way in", m[1])
		}
	}
}

// contains tells what of shown is not in answer.
func contains(answer, shown []byte) error {
	var has, wants any
	if err := json.Unmarshal(shown, &wants); err != nil {
		return fmt.Errorf("the page's answer: %w", err)
	}
	if err := json.Unmarshal(answer, &has); err != nil {
		return fmt.Errorf("the answer %s: %w", answer, err)
	}
	return within(has, wants, "answer")
}

// within holds fields against those of the same name; a list that is shown is the
// beginning of the real one.
func within(has, wants any, at string) error {
	switch w := wants.(type) {
	case map[string]any:
		h, is := has.(map[string]any)
		if !is {
			return fmt.Errorf("%s is %v, no object", at, has)
		}
		for name, value := range w {
			inside, there := h[name]
			if !there {
				return fmt.Errorf("%s has no %q: it is %v", at, name, h)
			}
			if err := within(inside, value, at+"."+name); err != nil {
				return err
			}
		}
	case []any:
		h, _ := has.([]any)
		if len(h) < len(w) {
			return fmt.Errorf("%s is %v", at, has)
		}
		for i, value := range w {
			if err := within(h[i], value, fmt.Sprintf("%s[%d]", at, i)); err != nil {
				return err
			}
		}
	default:
		if !reflect.DeepEqual(has, wants) {
			return fmt.Errorf("%s is %v, and the page says %v", at, has, wants)
		}
	}
	return nil
}
