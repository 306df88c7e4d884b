package weather

import (
	"fmt"
	"math"
	"time"
)

// Stamps say what the hour printed beside a row means.
type Stamps struct {
	// HourStart is from the printed time to the start of the hour whose mean
	// irradiance the row holds.
	HourStart time.Duration
	// AirAt is from the printed time to the instant of air temperature and wind.
	AirAt time.Duration
}

// StampsOf gives the stamps for a file whose printed times are the "start",
// the "middle" or the "end" of the hour that the light is the mean of. Air and
// wind are taken to be those of the printed time.
func StampsOf(meaning string) (Stamps, error) {
	switch meaning {
	case "start":
		return Stamps{}, nil
	case "middle":
		return Stamps{HourStart: -30 * time.Minute}, nil
	case "end":
		return Stamps{HourStart: -time.Hour}, nil
	}
	return Stamps{}, fmt.Errorf(`weather: the printed time is called %q; say which part of its hour it is: "start", "middle" or "end"`, meaning)
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
//
// Light that cannot be is left out: an hour's global is at most that outside
// the air, which is nothing with the sun down. What of the beam would be
// brighter than under the clearest sky counts as diffuse, so that a low sun does
// not divide a few watts into a glare. A year with much of such light is
// refused, see NewHourly.
type Hourly struct {
	place  Place
	stamps Stamps
	remark string
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

// clearestTurbidity bounds the beam: clear mountain air, as the formula's source
// has it. In the built-in years it moves 0.01 % of the light.
const clearestTurbidity = 2

// NewHourly builds a typical year from its 8760 rows, in order, the first one
// printed for 1 January 00:00 UTC. It refuses a year that is dark, one in which
// more than 1 % of the light comes with the sun down or is brighter than outside
// the air, and one whose global is not the sum of its parts (by more than 8 %
// of the light, hour by hour): the times would be off, or the columns of
// different weather.
func NewHourly(place Place, stamps Stamps, rows []Row) (*Hourly, error) {
	if err := place.Validate(); err != nil {
		return nil, err
	}
	w, err := newHourly(place, stamps, rows, "are these times UTC, and is the place right?")
	if err != nil {
		return nil, fmt.Errorf("weather: %w", err)
	}
	return w, nil
}

// newHourly is NewHourly for a sound place, with what to ask when the light
// comes at the wrong time.
func newHourly(place Place, stamps Stamps, rows []Row, hint string) (*Hourly, error) {
	if len(rows) != hoursPerYear {
		return nil, fmt.Errorf("%d hours; a typical year has %d (365 days, no 29 February)", len(rows), hoursPerYear)
	}
	if max(stamps.HourStart.Abs(), stamps.AirAt.Abs()) > 24*time.Hour {
		return nil, fmt.Errorf("the time stamp is off by %v and %v; at most a day makes sense", stamps.HourStart, stamps.AirAt)
	}
	start := time.Date(nominalYear, 1, 1, 0, 0, 0, 0, time.UTC).Add(stamps.HourStart)
	suns := sunHours(place, start, time.Hour)
	remark, err := checkLight(rows, suns, place, start, hint)
	if err != nil {
		return nil, err
	}
	w := &Hourly{place: place, stamps: stamps, remark: remark, hours: make([]hour, len(rows))}
	for i, r := range rows {
		w.hours[i] = prepareHour(r, place, suns[i])
	}
	return w, nil
}

func prepareHour(r Row, place Place, sun sunHour) hour {
	h := hour{airC: r.AirC, windMS: r.WindMS, skyDropK: r.SkyDropK}
	if math.IsNaN(h.skyDropK) {
		// No word about the sky: half covered.
		h.skyDropK = clearSkyDropK(r.AirC) / 2
	}
	h.sun = sun.hourSun
	sine := sun.meanSine
	global := math.Min(math.Max(0, r.GlobalHorizontalWM2), sun.outsideWM2*sine)
	if global == 0 {
		return h
	}
	if sine < lowSine {
		h.evenWM2 = global
		return h
	}
	diffuse := math.Min(math.Max(0, r.DiffuseHorizontalWM2), global)
	h.beamNormalWM2 = math.Min((global-diffuse)/sine, clearestBeamWM2(place, sine, sun.outsideWM2))
	h.diffusePerSine = global/sine - h.beamNormalWM2
	return h
}

// Place returns where the file was measured.
func (w *Hourly) Place() Place { return w.place }

// Remark is a sentence for people when the light seems to be half an hour off
// the sun; empty when all is well.
func (w *Hourly) Remark() string { return w.remark }

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
