package planner

import (
	"testing"
	"time"

	"sunstoker/control"
	"sunstoker/sim/weather"
)

// TestFindingsAddUp: two probes that are silent at once are one silence, a step
// without a finding ends a spell, and the most urgent kind comes first.
func TestFindingsAddUp(t *testing.T) {
	r := mustBuild(t, exampleSite(t, "house-with-winter"), RunOptions{Weather: weather.NorthItaly(), Start: newYear, Step: 20 * time.Second, Months: 1})
	silent := control.Finding{Kind: control.FoundProbeSilent}
	hot := control.Finding{Kind: control.FoundTankTooHot}
	tr := newTroubles(r)
	for step, findings := range [][]control.Finding{{silent, silent}, {silent}, {silent, hot}, {}, {silent}} {
		tr.hear(r, findings, step+1)
	}
	got := tr.reported()
	if len(got) != 2 || got[0].Kind != control.FoundTankTooHot || got[1].Kind != control.FoundProbeSilent {
		t.Fatalf("%+v", got)
	}
	if s := got[1]; s.For != 80*time.Second || s.Times != 2 || !s.First.Equal(newYear) {
		t.Errorf("silent: %+v; want 80 s in two spells", s)
	}
	if s := got[0]; s.For != 20*time.Second || s.Times != 1 {
		t.Errorf("too hot: %+v", s)
	}
}
