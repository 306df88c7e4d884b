package weather

import (
	"fmt"
	"math"
	"time"

	"sunstoker/physics"
)

// Stamps say what the hour printed beside a row means.
type Stamps struct {
	// HourStart is from the printed time to the start of the hour whose mean
	// irradiance the row holds.
	HourStart time.Duration
	// AirAt is from the printed time to the instant of air temperature and wind.
	AirAt time.Duration
}

// Row is one hour of a weather file.
type Row struct {
	GlobalHorizontalWM2, BeamNormalWM2, DiffuseHorizontalWM2 float64 // means of the hour
	AirC, WindMS                                             float64
	// SkyDropK is how much colder than the air the sky is, NaN if not known.
	SkyDropK float64
}

// Hourly is a typical year of hourly rows, laid out on a nominal year of 365
// days and usable in any calendar year (29 February repeats 28 February).
//
// Within an hour the beam normal to the sun is even and the diffuse light
// follows the sine of the sun's elevation, so that the energy of the hour, beam
// on the level and diffuse each, is kept exactly. Light of an hour in which the
// sun hardly rises counts as diffuse and is even over the hour. Air, wind and
// sky are straight lines between the rows' instants, closed round the year.
type Hourly struct {
	place  Place
	stamps Stamps
	hours  []hour
}

// hour is a row made ready to be asked at any instant in it.
type hour struct {
	sun            hourSun
	beamNormalWM2  float64
	diffusePerSine float64
	evenWM2        float64
	airC, windMS   float64
	skyDropK       float64
}

// lowSine is the mean sine of elevation below which an hour's light counts as
// diffuse and even.
const lowSine = 0.02

// NewHourly builds a typical year from its 8760 rows, in order, the first one
// printed for 1 January 00:00 UTC.
func NewHourly(place Place, stamps Stamps, rows []Row) (*Hourly, error) {
	if err := place.Validate(); err != nil {
		return nil, err
	}
	if len(rows) != hoursPerYear {
		return nil, fmt.Errorf("weather: %d hours; a typical year has %d (365 days, no 29 February)", len(rows), hoursPerYear)
	}
	if max(stamps.HourStart.Abs(), stamps.AirAt.Abs()) > 24*time.Hour {
		return nil, fmt.Errorf("weather: the time stamp is off by %v and %v; at most a day makes sense", stamps.HourStart, stamps.AirAt)
	}
	w := &Hourly{place: place, stamps: stamps, hours: make([]hour, len(rows))}
	start := time.Date(nominalYear, 1, 1, 0, 0, 0, 0, time.UTC).Add(stamps.HourStart)
	for i, r := range rows {
		w.hours[i] = prepareHour(r, place, start.Add(time.Duration(i)*time.Hour))
	}
	return w, nil
}

func prepareHour(r Row, place Place, start time.Time) hour {
	h := hour{airC: r.AirC, windMS: r.WindMS, skyDropK: r.SkyDropK}
	if math.IsNaN(h.skyDropK) {
		// No word about the sky: half covered.
		h.skyDropK = clearSkyDropK(r.AirC) / 2
	}
	global := math.Max(0, r.GlobalHorizontalWM2)
	if global == 0 {
		return h
	}
	h.sun = hourSunAt(start, place)
	sine := h.sun.meanSine()
	if sine < lowSine {
		h.evenWM2 = global
		return h
	}
	diffuse := math.Min(math.Max(0, r.DiffuseHorizontalWM2), global)
	limit := physics.ExtraterrestrialNormalWM2(float64(start.YearDay()))
	h.beamNormalWM2 = math.Min((global-diffuse)/sine, limit)
	h.diffusePerSine = global/sine - h.beamNormalWM2
	return h
}

// Place returns where the file was measured.
func (w *Hourly) Place() Place { return w.place }

// At implements Source.
func (w *Hourly) At(utc time.Time) Sample {
	second := nominalSecond(utc)
	lightAt := second - w.stamps.HourStart.Seconds()
	i, into := splitHour(lightAt)
	h := &w.hours[i]
	var s Sample
	if h.evenWM2 > 0 {
		s.GlobalHorizontalWM2, s.DiffuseHorizontalWM2 = h.evenWM2, h.evenWM2
	} else if h.diffusePerSine > 0 || h.beamNormalWM2 > 0 {
		if sine := h.sun.sine(into); sine > 0 {
			s.BeamNormalWM2 = h.beamNormalWM2
			s.DiffuseHorizontalWM2 = h.diffusePerSine * sine
			s.GlobalHorizontalWM2 = s.DiffuseHorizontalWM2 + h.beamNormalWM2*sine
		}
	}
	i, into = splitHour(second - w.stamps.AirAt.Seconds())
	from, to := &w.hours[i], &w.hours[(i+1)%hoursPerYear]
	s.AirC = from.airC + into*(to.airC-from.airC)
	s.WindMS = from.windMS + into*(to.windMS-from.windMS)
	s.SkyDropK = from.skyDropK + into*(to.skyDropK-from.skyDropK)
	return s
}

// splitHour is the index of the hour that holds a second of the nominal year
// (wrapped) and how far into it that second lies, 0 to below 1.
func splitHour(second float64) (index int, into float64) {
	if second < 0 {
		second += yearSeconds
	} else if second >= yearSeconds {
		second -= yearSeconds
	}
	hours := second / 3600
	index = int(hours)
	return index % hoursPerYear, hours - float64(index)
}
