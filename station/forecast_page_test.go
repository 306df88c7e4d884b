package station

import (
	"os"
	"strings"
	"testing"
)

// TestThePageShowsAForecast that can be read.
func TestThePageShowsAForecast(t *testing.T) {
	page, err := os.ReadFile("../deploy/forecast.md")
	if err != nil {
		t.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(page), "```csv\n")
	shown, _, found := strings.Cut(rest, "```")
	if !found {
		t.Fatal("the page shows no file")
	}
	if hours, err := readForecast([]byte(shown), 45, 8); err != nil || len(hours) != strings.Count(shown, "\n")-2 {
		t.Errorf("%v, %v", hours, err)
	}
}
