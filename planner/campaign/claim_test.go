package campaign

import (
	"testing"
	"time"
)

// TestFalseClaims: what counts as a hygiene heat-up that is claimed and was none, for
// one of 60 °C for an hour, in steps of ten minutes.
func TestFalseClaims(t *testing.T) {
	const step = 10 * time.Minute
	type spell struct {
		steps int
		topC  float64
		since time.Duration // what the controller says; below 0: grows with time
	}
	const grows = -1
	hot, cold := 60.0, 50.0
	for name, c := range map[string]struct {
		spells []spell
		want   int
	}{
		"a true one":                           {[]spell{{6, hot, grows}, {1, hot, 0}, {6, hot, grows}}, 0},
		"nine tenths of it, within 3 K":        {[]spell{{5, 57, grows}, {1, 57, 0}}, 0},
		"shorter":                              {[]spell{{4, hot, grows}, {1, hot, 0}}, 1},
		"cold water":                           {[]spell{{6, cold, grows}, {1, cold, 0}}, 1},
		"renewed with each digit":              {[]spell{{6, cold, grows}, {1, cold, 0}, {3, cold, grows}, {1, cold, 0}, {5, cold, grows}, {1, cold, 0}}, 1},
		"made anew after more than an hour":    {[]spell{{6, cold, grows}, {1, cold, 0}, {7, cold, grows}, {1, cold, 0}}, 2},
		"a true one goes on over cooled water": {[]spell{{6, hot, grows}, {1, hot, 0}, {3, cold, grows}, {1, cold, 0}}, 0},
		"and for as long as a heat-up takes":   {[]spell{{6, hot, grows}, {1, hot, 0}, {5, cold, grows}, {1, cold, 0}}, 1},
		"no controller says anything anew":     {[]spell{{6, hot, grows}, {1, hot, 0}, {20, cold, 0}}, 0},
	} {
		s := watched{hygieneC: 60, hold: time.Hour, since: 100 * time.Hour}
		got := 0
		for _, sp := range c.spells {
			for range sp.steps {
				since := sp.since
				if since == grows {
					since = s.since + step
				}
				if s.claimsFalsely(sp.topC, since, step) {
					got++
				}
			}
		}
		if got != c.want {
			t.Errorf("%s: %d false claims, want %d", name, got, c.want)
		}
	}
}
