package history

import (
	"context"
	"testing"
	"time"

	"sunstoker/control"
)

// TestSpells: a finding that outlives a restart is one spell, one that the new run
// does not find again has ended with the run before, and one that comes twice is two.
func TestSpells(t *testing.T) {
	stagnation, clock := control.Finding{Kind: control.FoundStagnation, Evidence: control.Reason{Words: control.SawStagnation, Values: [3]float64{131, 600}}}, control.Finding{Kind: control.FoundClockUnset}
	folder := t.TempDir()
	h := newHouse(t, folder)
	find := func(list ...control.Finding) { h.tick.Findings = list }
	h.pass(2 * time.Minute)
	find(stagnation)
	h.pass(2 * time.Minute)
	find(stagnation, clock)
	h.pass(2 * time.Minute)
	h.stop()
	h = h.again(10 * time.Minute) // starts at 12:16
	find(stagnation)
	h.pass(4 * time.Minute)
	find()
	h.pass(4 * time.Minute)
	find(stagnation)
	h.pass(4 * time.Minute)
	h.stop()
	r := openFolder(t, folder)

	type told struct {
		what        string
		from, until time.Duration
	}
	tell := func(from, to time.Duration) (out []told) {
		list, err := r.Spells(context.Background(), noon.Add(from), noon.Add(to))
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range list {
			one := told{what: s.Raised.What.Key, from: s.Raised.Time.Sub(noon)}
			if !s.Until.IsZero() {
				one.until = s.Until.Sub(noon)
			}
			if !s.Sure {
				t.Errorf("%s is not sure", one.what)
			}
			out = append(out, one)
		}
		return out
	}
	m := time.Minute
	for _, c := range []struct {
		from, to time.Duration
		want     []told
	}{
		{0, 24 * time.Hour, []told{{what: "stagnation", from: 2 * m, until: 20 * m}, {what: "clock_unset", from: 4 * m, until: 6*m - time.Second}, {what: "stagnation", from: 24 * m}}},
		{3 * m, 5 * m, []told{{what: "stagnation", from: 2 * m}, {what: "clock_unset", from: 4 * m}}},
		{21 * m, 23 * m, nil},
	} {
		got := tell(c.from, c.to)
		if len(got) != len(c.want) {
			t.Errorf("from %v to %v: %+v, want %+v", c.from, c.to, got, c.want)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("from %v to %v: %+v, want %+v", c.from, c.to, got[i], c.want[i])
			}
		}
	}
}
