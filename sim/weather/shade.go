package weather

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"sunstoker/physics"
)

// Shade is what stands between the sun and a roof.
type Shade struct {
	// Horizon is how high hills and houses reach; none for an open one. Between two
	// points it runs straight, all around.
	Horizon []HorizonPoint
	// MonthShare is the part of the beam, 0 to 1, that trees and neighbours take in
	// each month, January first, of what comes over the horizon.
	MonthShare [12]float64
}

// HorizonPoint is the height of the horizon in one direction.
type HorizonPoint struct {
	AzimuthDeg   float64 // clockwise from north, 0 to 360
	ElevationDeg float64 // 0 to 90
}

// Shaded is the weather of a source as a roof in the shade sees it: without the
// beam while the sun is behind the horizon, and with less of it by month.
//
// The light of the sky is left whole, which is a little too much: a horizon of 20°
// all around hides some 12 % of an even sky from the level (sine squared of its
// height), and most roofs see less of it.
type Shaded struct {
	source Source
	shade  Shade // its horizon in order, with the ends joined
}

// NewShaded puts a source in the shade, or returns an error that names the figure
// out of range.
func NewShaded(source Source, shade Shade) (*Shaded, error) {
	for _, p := range shade.Horizon {
		if err := checkAll(
			quantity{"direction of a point of the horizon", p.AzimuthDeg, 0, 360, "degrees"},
			quantity{"height of a point of the horizon", p.ElevationDeg, 0, 90, "degrees"},
		); err != nil {
			return nil, err
		}
	}
	for i, share := range shade.MonthShare {
		if err := checkAll(quantity{fmt.Sprintf("shade in %v", time.Month(i+1)), share, 0, 1, ""}); err != nil {
			return nil, err
		}
	}
	shade.Horizon = slices.Clone(shade.Horizon)
	slices.SortStableFunc(shade.Horizon, func(a, b HorizonPoint) int { return cmp.Compare(a.AzimuthDeg, b.AzimuthDeg) })
	if n := len(shade.Horizon); n > 0 {
		first, last := shade.Horizon[0], shade.Horizon[n-1]
		first.AzimuthDeg += 360
		last.AzimuthDeg -= 360
		shade.Horizon = slices.Concat([]HorizonPoint{last}, shade.Horizon, []HorizonPoint{first})
	}
	return &Shaded{source, shade}, nil
}

// Place is where the source is.
func (w *Shaded) Place() Place { return w.source.Place() }

// At is the source's weather in the shade.
func (w *Shaded) At(utc time.Time) Sample { return w.atSun(utc, w.Place().sunAt(utc)) }

func (w *Shaded) atSun(utc time.Time, sun physics.SunPosition) Sample {
	var s Sample
	if lit, needsSun := w.source.(sunlit); needsSun {
		s = lit.atSun(utc, sun)
	} else {
		s = w.source.At(utc)
	}
	taken := s.BeamNormalWM2 * w.shade.share(utc.Month(), sun)
	s.BeamNormalWM2 -= taken
	s.GlobalHorizontalWM2 -= min(s.GlobalHorizontalWM2, taken*math.Max(0, math.Sin(sun.ElevationDeg*math.Pi/180)))
	return s
}

// share is the part of the beam that is taken.
func (s *Shade) share(month time.Month, sun physics.SunPosition) float64 {
	if sun.ElevationDeg < s.elevationDeg(sun.AzimuthDeg) {
		return 1
	}
	return s.MonthShare[month-1]
}

// elevationDeg is the height of the horizon in a direction.
func (s *Shade) elevationDeg(azimuthDeg float64) float64 {
	if len(s.Horizon) == 0 {
		return 0
	}
	i := 1
	for i < len(s.Horizon)-1 && s.Horizon[i].AzimuthDeg < azimuthDeg {
		i++
	}
	a, b := s.Horizon[i-1], s.Horizon[i]
	if b.AzimuthDeg <= a.AzimuthDeg {
		return max(a.ElevationDeg, b.ElevationDeg)
	}
	part := min(1, (azimuthDeg-a.AzimuthDeg)/(b.AzimuthDeg-a.AzimuthDeg))
	return a.ElevationDeg + part*(b.ElevationDeg-a.ElevationDeg)
}
