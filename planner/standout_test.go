package planner

import (
	"cmp"
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
		antifreezePercent, freezingC, coldestC, lostToC float64 // lostToC: the fluid's freezing point at the end, 0: as written
		want                                            string
		unwanted                                        string
	}{
		{45, -26, -20, 0, "", "freeze"},
		{45, -26, -22, 0, "Measure its strength", "burst"},
		{45, -26, -27, 0, "can burst the collector. Measure its strength", "needs antifreeze"},
		{45, -26, -20, -3, "can burst the collector, no longer at the -26 °C of its 45 % of antifreeze", "leave more"},
		{0, 0, 4, 0, "needs antifreeze", "strength"},
		{0, 0, -3, 0, "can burst the collector. Plain water", "strength"},
	} {
		sys.AntifreezePercent, sys.FreezingPointC = c.antifreezePercent, c.freezingC
		y.FrostMargins = []FrostMargin{{ColdestC: c.coldestC, FreezingC: cmp.Or(c.lostToC, c.freezingC)}}
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
