package planner

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// sizeAdvice is what no year of a plant in pieces may say.
var sizeAdvice = regexp.MustCompile(`more collector|smaller tank|steeper collector|plane and area|start difference or less flow`)

// frostySite is the example of a winter, in a place whose coldest night is too
// cold for its fluid.
func frostySite(t *testing.T, replace ...string) string {
	t.Helper()
	data, err := os.ReadFile(winterSite)
	if err != nil {
		t.Fatal(err)
	}
	content := regexp.MustCompile(`(?m)^\s*coldest *=.*$`).ReplaceAllString(string(data), `coldest = "-4 °C"`)
	content = strings.NewReplacer(replace...).Replace(content)
	file := filepath.Join(t.TempDir(), "site.toml")
	if err := os.WriteFile(file, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestWhatIsDestroyedIsTold: a collector that bursts by frost is told with its
// date and system, under the table and in the report, and nobody is advised on
// the size of a plant in pieces.
func TestWhatIsDestroyedIsTold(t *testing.T) {
	t.Parallel()
	const burst, lost = `, system "roof": the collector burst by frost.`, `system "roof": 1`
	for _, c := range []struct {
		name, file string
		faults     []string
		says       []string
	}{
		{"plain water", frostySite(t, "\"propylene glycol\"\nantifreeze = \"45 %\"", `"water"`), nil,
			[]string{burst, lost, "begins to freeze at 0 °C", "Plain water is safe only"}},
		{"glycol washed out", frostySite(t), []string{"glycol topped up with water at 1d amount 0.95"},
			[]string{burst, lost, "of its 45 % of antifreeze", "renew it"}},
		{"a leak", winterSite, []string{"loop leaks slowly at 3d amount 1"},
			[]string{"Fluid lost from 4 January 2026 at", "Its loop lost fluid"}},
		{"an element without water", winterSite, []string{"heater element without water at 2d"},
			[]string{`Destroyed on 3 January 2026 at `, "element burnt out", "damaged for good"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			report := filepath.Join(t.TempDir(), "year.html")
			o := SimulateOptions{SiteFile: c.file, Start: "2026-01-01", Step: LongestStep, Seed: 1, Months: 1, Faults: c.faults, Report: report}
			var out bytes.Buffer
			if err := Simulate(context.Background(), o, &out, &out); err != nil {
				t.Fatal(err)
			}
			html, err := os.ReadFile(report)
			if err != nil {
				t.Fatal(err)
			}
			onPage := strings.NewReplacer("&#34;", `"`).Replace(string(html))
			for _, want := range append(c.says, "nobody mends") {
				if !strings.Contains(out.String(), want) || !strings.Contains(onPage, want) {
					t.Errorf("%q is not told, or not in the report:\n%s", want, out.String())
				}
			}
			if bad := sizeAdvice.FindString(out.String()); bad != "" {
				t.Errorf("%q is said of a plant in pieces:\n%s", bad, out.String())
			}
		})
	}
}

// TestSoundYearIsNotCrippled: the usual sites in a usual winter and summer lose
// nothing.
func TestSoundYearIsNotCrippled(t *testing.T) {
	for _, month := range []string{"2026-01-01", "2026-07-01"} {
		var out bytes.Buffer
		if err := Simulate(context.Background(), SimulateOptions{SiteFile: winterSite, Start: month, Step: LongestStep, Seed: 1, Months: 1}, &out, &out); err != nil {
			t.Fatal(err)
		}
		if strings.Contains(out.String(), "Destroyed") || strings.Contains(out.String(), "Fluid lost") {
			t.Errorf("a sound plant is called broken:\n%s", out.String())
		}
	}
}
