package survey

import "testing"

func TestFinder(t *testing.T) {
	type values = map[string]float64
	for _, c := range []struct {
		what  string
		looks []values
		name  string
		last  Verdict
	}{
		{"a hand", []values{{"a": 20, "b": 20}, {"a": 21, "b": 20}, {"a": 22.5, "b": 20.1}, {"a": 23.5, "b": 20.1}}, "a", Found},
		{"one wild sample", []values{{"a": 20, "b": 20}, {"a": 85, "b": 20}, {"a": 20, "b": 20}}, "", Nobody},
		{"two wild samples of two probes", []values{{"a": 20, "b": 20}, {"a": 85, "b": 20}, {"a": 20, "b": 85}}, "", Nobody},
		{"all warm alike, as in the sun", []values{{"a": 20, "b": 20}, {"a": 23, "b": 22.9}, {"a": 24, "b": 23.9}}, "", Several},
		{"one in the sun, one in the hand", []values{{"a": 20, "b": 20}, {"a": 21, "b": 24}, {"a": 21.5, "b": 28}}, "b", Found},
		{"it cools first", []values{{"a": 30, "b": 20}, {"a": 25, "b": 20}, {"a": 26.9, "b": 20}, {"a": 27.1, "b": 20}, {"a": 27.3, "b": 20}}, "a", Found},
		{"a probe that comes late", []values{{"b": 20}, {"b": 20, "a": 30}, {"b": 20, "a": 32.5}, {"b": 20, "a": 33}}, "a", Found},
		{"none", []values{{}, {}}, "", Nobody},
	} {
		f := &Finder{}
		name, last := "", Nobody
		for _, v := range c.looks {
			name, last = f.Look(v)
		}
		if name != c.name || last != c.last {
			t.Errorf("%s: %q, %d, want %q, %d", c.what, name, last, c.name, c.last)
		}
	}
}
