package rivals

import (
	"math"
	"testing"
	"time"
)

// TestLightIsForetoldExactly: the mean of each hour, two days of them, and nothing
// said of later ones.
func TestLightIsForetoldExactly(t *testing.T) {
	g := groundOf(t, springs()[1])
	made := time.Date(2026, time.May, 3, 22, 40, 0, 0, time.UTC)
	l := exactLight(g.weather, made)
	if !l.Made.Equal(made) || !l.From.Equal(made.Truncate(time.Hour)) || l.OnCollectors {
		t.Errorf("made %v, from %v, on collectors %v", l.Made, l.From, l.OnCollectors)
	}
	most := 0.0
	for hour, got := range l.WM2 {
		if hour >= foretoldHours {
			if got >= 0 {
				t.Fatalf("hour %d has %g W/m², want nothing said", hour, got)
			}
			continue
		}
		sum := 0.0
		for minute := range 60 {
			at := l.From.Add(time.Duration(hour)*time.Hour + time.Duration(minute)*time.Minute + 30*time.Second)
			sum += g.weather.At(at).GlobalHorizontalWM2
		}
		if want := sum / 60; math.Abs(got-want) > 10+0.05*want {
			t.Errorf("hour %d has %.0f W/m², want %.0f", hour, got, want)
		}
		most = max(most, got)
	}
	if most < 100 {
		t.Errorf("the brightest hour of May has %.0f W/m²", most)
	}
}

// TestForetoldLightIsBelieved: told each midnight, the controller goes by it in the
// end.
func TestForetoldLightIsBelieved(t *testing.T) {
	g := groundOf(t, springs()[1])
	g.foretold = true
	r, _, err := g.build(sunFirstAt(2))
	if err != nil {
		t.Fatal(err)
	}
	if err := g.until(t.Context(), r, 25); err != nil {
		t.Fatal(err)
	}
	if o, ok := r.Controller.OutlookOf(0); !ok || o.ToldShare < 0.5 {
		t.Errorf("after 25 days the forecast has %.2f of the outlook (known: %v)", o.ToldShare, ok)
	}
}
