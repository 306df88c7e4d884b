package weather

import (
	"math"
	"strings"
	"testing"
	"time"

	"sunstoker/physics"
)

// TestHorizonRunsStraightAllAround: by hand, between its points and over north.
func TestHorizonRunsStraightAllAround(t *testing.T) {
	w, err := NewShaded(NorthItaly(), Shade{Horizon: []HorizonPoint{{300, 30}, {90, 10}, {180, 20}, {180, 4}, {270, 0}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ azimuthDeg, wantDeg float64 }{
		{90, 10}, {135, 15}, {181, 4 - 4.0/90}, {225, 2}, {270, 0}, {285, 15}, {300, 30},
		{0, 30 - 20*60.0/150}, {45, 30 - 20*105.0/150}, {359.999, 30 - 20*59.999/150},
	} {
		if got := w.shade.elevationDeg(c.azimuthDeg); math.Abs(got-c.wantDeg) > 1e-9 {
			t.Errorf("at %g°: %g°, want %g°", c.azimuthDeg, got, c.wantDeg)
		}
	}
	even := Shade{}
	if got := even.elevationDeg(77); got != 0 {
		t.Errorf("an open horizon is %g° high", got)
	}
	one, err := NewShaded(NorthItaly(), Shade{Horizon: []HorizonPoint{{200, 12}}})
	if err != nil {
		t.Fatal(err)
	}
	for _, azimuth := range []float64{0, 100, 200, 300} {
		if got := one.shade.elevationDeg(azimuth); got != 12 {
			t.Errorf("one point: %g° at %g°", got, azimuth)
		}
	}
}

// TestShadeTakesTheBeamAlone goes through days of a year: behind the horizon there
// is the sky's light alone, before it what the month leaves, and the parts add up.
func TestShadeTakesTheBeamAlone(t *testing.T) {
	made := generate(t, torino, UsualClimate(torino), SeedsFrom(3), 365)
	for _, source := range []Source{NorthItaly(), made} {
		shade := Shade{Horizon: []HorizonPoint{{180, 25}}}
		shade.MonthShare[time.June-1] = 0.4
		w, err := NewShaded(source, shade)
		if err != nil {
			t.Fatal(err)
		}
		hidden, dimmed, whole := 0, 0, 0
		for at := time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC); at.Year() == 2025; at = at.Add(37 * time.Minute) {
			open, got := source.At(at), w.At(at)
			sun := source.Place().sunAt(at)
			left := 1.0
			switch {
			case sun.ElevationDeg < 25:
				left = 0
				hidden++
			case at.Month() == time.June:
				left = 0.6
				dimmed++
			default:
				whole++
			}
			want := open
			want.BeamNormalWM2 *= left
			want.GlobalHorizontalWM2 = max(0, open.GlobalHorizontalWM2-(1-left)*open.BeamNormalWM2*math.Max(0, math.Sin(sun.ElevationDeg*math.Pi/180)))
			if math.Abs(got.BeamNormalWM2-want.BeamNormalWM2) > 1e-9 || math.Abs(got.GlobalHorizontalWM2-want.GlobalHorizontalWM2) > 1e-9 ||
				got.DiffuseHorizontalWM2 != open.DiffuseHorizontalWM2 || got.AirC != open.AirC {
				t.Fatalf("%v: %+v in the open, %+v in the shade, want %+v", at, open, got, want)
			}
			if got != w.atSun(at, physics.SunAt(at, source.Place().LatitudeDeg, source.Place().LongitudeDeg)) {
				t.Fatalf("%v: another answer where the sun is known", at)
			}
		}
		if hidden == 0 || dimmed == 0 || whole == 0 {
			t.Errorf("%d moments behind the horizon, %d dimmed, %d whole", hidden, dimmed, whole)
		}
	}
}

func TestShadeRefuses(t *testing.T) {
	for want, shade := range map[string]Shade{
		"direction of a point of the horizon is 361": {Horizon: []HorizonPoint{{361, 1}}},
		"height of a point of the horizon is 91":     {Horizon: []HorizonPoint{{1, 91}}},
		"shade in March is 1.5":                      {MonthShare: [12]float64{2: 1.5}},
	} {
		if _, err := NewShaded(NorthItaly(), shade); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%v; want %q", err, want)
		}
	}
}
