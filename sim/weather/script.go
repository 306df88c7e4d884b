package weather

import (
	"fmt"
	"math"
	"sort"
	"time"

	"sunstoker/physics"
)

// Moment is one line of a scripted day.
type Moment struct {
	// At is the time of day in local mean solar time, 0 to below 24 h, so that
	// the sun is highest near 12 h anywhere.
	At time.Duration
	// Cover is the share of cloud before the sun, 0 to 1.
	Cover  float64
	AirC   float64 // in degC, -60 to 60
	WindMS float64 // in m/s, 0 to 100
}

// Scripted is weather that follows a list of moments each day, in straight
// lines between them and around midnight. Sun and clear sky are those of the
// real date.
type Scripted struct {
	place   Place
	moments []Moment
}

// usualTurbidity is a clean country sky (common practice, no source).
const usualTurbidity = 3

// NewScripted checks and sorts the moments; there must be at least one and no
// two at the same time.
func NewScripted(place Place, moments []Moment) (*Scripted, error) {
	if err := place.Validate(); err != nil {
		return nil, err
	}
	if len(moments) == 0 {
		return nil, fmt.Errorf("weather: a scripted day needs at least one moment")
	}
	sorted := append([]Moment(nil), moments...)
	sort.Slice(sorted, func(i, j int) bool { return sorted[i].At < sorted[j].At })
	for i, m := range sorted {
		if err := m.validate(); err != nil {
			return nil, err
		}
		if i > 0 && m.At == sorted[i-1].At {
			return nil, fmt.Errorf("weather: the scripted day has two moments at %v", m.At)
		}
	}
	return &Scripted{place: place, moments: sorted}, nil
}

func (m Moment) validate() error {
	if m.At < 0 || m.At >= 24*time.Hour {
		return fmt.Errorf("weather: a scripted moment is at %v; give a time from 0 to below 24 h", m.At)
	}
	return checkAll(
		quantity{"scripted cloud cover", m.Cover, 0, 1, "(a share)"},
		quantity{"scripted air temperature", m.AirC, -60, 60, "degC"},
		quantity{"scripted wind speed", m.WindMS, 0, 100, "m/s"},
	)
}

// Place implements Source.
func (w *Scripted) Place() Place { return w.place }

// At implements Source.
func (w *Scripted) At(utc time.Time) Sample { return w.atSun(utc, w.place.sunAt(utc)) }

func (w *Scripted) atSun(utc time.Time, sun physics.SunPosition) Sample {
	m := w.between(solarTimeOfDay(utc, w.place.LongitudeDeg))
	return Sample{
		Irradiance: coveredLight(utc, sun, w.place, usualTurbidity, m.Cover, m.AirC),
		AirC:       m.AirC,
		WindMS:     m.WindMS,
		SkyDropK:   clearSkyDropK(m.AirC) * (1 - m.Cover),
	}
}

// between is the scripted state at a time of day.
func (w *Scripted) between(at time.Duration) Moment {
	const day = 24 * time.Hour
	n := len(w.moments)
	next := sort.Search(n, func(i int) bool { return w.moments[i].At > at })
	from, to := w.moments[(next+n-1)%n], w.moments[next%n]
	span, into := to.At-from.At, at-from.At
	if span <= 0 {
		span += day
	}
	if into < 0 {
		into += day
	}
	x := into.Seconds() / span.Seconds()
	blend := func(a, b float64) float64 { return a + x*(b-a) }
	return Moment{
		At:     at,
		Cover:  blend(from.Cover, to.Cover),
		AirC:   blend(from.AirC, to.AirC),
		WindMS: blend(from.WindMS, to.WindMS),
	}
}

// solarSecond counts seconds of local mean solar time since 1970.
func solarSecond(utc time.Time, longitudeDeg float64) float64 {
	return float64(utc.Unix()) + float64(utc.Nanosecond())*1e-9 + longitudeDeg*240
}

// solarTimeOfDay is local mean solar time, 0 to below 24 h.
func solarTimeOfDay(utc time.Time, longitudeDeg float64) time.Duration {
	const day = 86400
	second := math.Mod(solarSecond(utc, longitudeDeg), day)
	if second < 0 {
		second += day
	}
	return time.Duration(second*float64(time.Second)) % (24 * time.Hour)
}
