package sizing

import (
	"math"
	"strings"
	"testing"
)

// TestOptionsAreSensible lists them by hand: four people with 40 l a day make
// 160 l, so that all tanks hold 96 to 480 l together, with 40 to 160 l for each m².
func TestOptionsAreSensible(t *testing.T) {
	w := starterWith(t, `loop = "either"`, `loop = "pumped"`)
	options, err := optionsOf(w)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{
		"100 l 2 m²", "200 l 2 m²", "200 l 4 m²", "300 l 2 m²", "300 l 4 m²", "300 l 6 m²",
		"2 x 100 l 2 x 2 m²", "2 x 200 l 2 x 2 m²", "2 x 200 l 2 x 4 m²",
	}
	var got []string
	for _, o := range options {
		got = append(got, o.tanksWords()+" "+o.areaWords())
	}
	if strings.Join(got, ", ") != strings.Join(want, ", ") {
		t.Errorf("got %s\nwant %s", strings.Join(got, ", "), strings.Join(want, ", "))
	}
	both, err := optionsOf(starterWith(t))
	if err != nil || len(both) != 2*len(want) {
		t.Errorf("%d options with natural circulation too, %v", len(both), err)
	}
}

func TestNothingOrTooMuchIsRefused(t *testing.T) {
	for want, edits := range map[string][]string{
		"nothing that may be tried fits": {"#people = 4", "people = 40"},
		"offer fewer tanks":              {"#most_systems = 2", "most_systems = 4", `#module = "2 m²"`, `module = "0.5 m²"`, "#people = 4", "people = 8"},
	} {
		if _, err := optionsOf(starterWith(t, edits...)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
}

// TestLitresOfAProfile: profile M takes 5.845 kWh a day (EU 812/2013, Annex VII,
// Table 3, read).
func TestLitresOfAProfile(t *testing.T) {
	litres, err := litresADay(starterWith(t, `#profile = "M"`, `profile = "M"`).House)
	if err != nil {
		t.Fatal(err)
	}
	if want := 5.845 * 3.6e6 / 4180 / 50; math.Abs(litres-want) > 0.5 {
		t.Errorf("%.2f l, want %.2f", litres, want)
	}
}
