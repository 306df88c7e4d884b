package planner

import (
	"strings"
	"testing"

	"sunstoker/sim/weather"
)

// TestStandoutsFitThePlant: advice names what the plant has. Nobody measures the
// strength of plain water, and no heater is to blame where there is none.
func TestStandoutsFitThePlant(t *testing.T) {
	r := mustBuild(t, exampleSite(t, "house-with-winter"), RunOptions{Weather: weather.NorthItaly(), Start: newYear, Months: 2})
	y, sys := inventedYear(r.site.Zone), &r.site.Systems[0]
	for _, c := range []struct {
		antifreezePercent, freezingC, coldestC float64
		want                                   string
		unwanted                               string
	}{
		{45, -26, -20, "", "freeze"},
		{45, -26, -22, "Measure its strength", "burst"},
		{45, -26, -27, "can burst the collector. Measure its strength", "needs antifreeze"},
		{0, 0, 4, "needs antifreeze", "strength"},
		{0, 0, -3, "can burst the collector. Plain water", "strength"},
	} {
		sys.AntifreezePercent, sys.FreezingPointC, y.ColdestCollectorC = c.antifreezePercent, c.freezingC, c.coldestC
		if got := frozenSentence(r, y); !strings.Contains(got, c.want) || strings.Contains(got, c.unwanted) {
			t.Errorf("%g %% antifreeze, collector at %g °C: %q", c.antifreezePercent, c.coldestC, got)
		}
	}
	if got := shortSentence(r, y); !strings.Contains(got, "heater power") {
		t.Errorf("with a heater: %q", got)
	}
	sys.Heater.PowerW = 0
	if got := shortSentence(r, y); strings.Contains(got, "heater power") || !strings.Contains(got, "no heater makes up") {
		t.Errorf("without a heater: %q", got)
	}
}
