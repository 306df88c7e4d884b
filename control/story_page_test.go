package control

import (
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestThePageShowsOrders: those of DEVELOPERS.md, with what else it quotes beside them,
// are a story from above to below.
func TestThePageShowsOrders(t *testing.T) {
	page, err := os.ReadFile("../DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	var told strings.Builder
	lines := regexp.MustCompile(`(?m)^> (.+?)(?:   *(.*))?$`).FindAllStringSubmatch(string(page), -1)
	for _, m := range lines {
		told.WriteString("> " + m[1] + "\n")
		for _, quoted := range regexp.MustCompile(`"([^"]+)"`).FindAllStringSubmatch(m[2], -1) {
			word, _, _ := strings.Cut(quoted[1], " ")
			if _, known := storyOrders[word]; known {
				told.WriteString("> " + quoted[1] + "\n")
			}
		}
	}
	if _, err := tellStory(told.String()); err != nil || len(lines) < 15 {
		t.Errorf("%d orders: %v in\n%s", len(lines), err, &told)
	}
}
