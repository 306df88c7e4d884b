package weather

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"sunstoker/physics"
)

// stefanBoltzmannWM2K4 is the Stefan-Boltzmann constant (CODATA 2018).
const stefanBoltzmannWM2K4 = 5.670374419e-8

// epwHeader lists the first words of the eight header lines of the format.
var epwHeader = []string{
	"LOCATION", "DESIGN CONDITIONS", "TYPICAL/EXTREME PERIODS", "GROUND TEMPERATURES",
	"HOLIDAYS/DAYLIGHT SAVINGS", "COMMENTS 1", "COMMENTS 2", "DATA PERIODS",
}

// Columns of a data line in the EPW format, counted from 1, and the number
// from which on a value means "missing".
const (
	epwAir         = 7
	epwInfrared    = 13
	epwGlobal      = 14
	epwBeam        = 15
	epwDiffuse     = 16
	epwWind        = 22
	epwLeastFields = 22
	epwMissing     = 9999
	epwNoAir       = 99.9
	epwNoWind      = 999
)

// ReadEPW reads an hourly weather file in the EPW format of building
// simulation: eight header lines, then 8760 lines, hour 1 being the hour that
// ends at 01:00 local standard time. The place and the time zone come from its
// LOCATION line. Irradiance and air temperature must be there; a missing wind
// speed counts as calm and missing infrared as a half-covered sky. The name is
// used in errors, which give line and column (counted by fields from 1). Light
// that cannot be is refused as by NewHourly.
//
// Source: the format as documented for the public building-simulation weather
// files (field order and missing-value marks from memory).
func ReadEPW(r io.Reader, name string) (*Hourly, error) {
	lines := newLineReader(r, name)
	place, zone, err := readEPWHeader(lines)
	if err != nil {
		return nil, err
	}
	rows := make([]Row, 0, hoursPerYear)
	for {
		fields, ok, err := lines.next()
		if err != nil {
			return nil, err
		}
		if !ok {
			break
		}
		if len(rows) == hoursPerYear {
			return nil, lines.at.errorf("more than %d hours; a typical year has 365 days", hoursPerYear)
		}
		row, err := lines.at.epwRow(fields, len(rows))
		if err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	if len(rows) != hoursPerYear {
		return nil, lines.at.errorf("the file ends after %d hours, want %d", len(rows), hoursPerYear)
	}
	// Row 0 is the hour from 00:00 local standard time on; its air is that of
	// the hour's end.
	w, err := newHourly(place, Stamps{HourStart: -zone, AirAt: time.Hour - zone}, rows,
		"is the time zone in the LOCATION line that of the rows?")
	if err != nil {
		return nil, fmt.Errorf("weather: %s: %w", name, err)
	}
	return w, nil
}

// ReadEPWFile is ReadEPW for a file, packed if its name ends in .gz.
func ReadEPWFile(path string) (*Hourly, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return ReadEPW(f, path)
}

func readEPWHeader(lines *lineReader) (place Place, zone time.Duration, err error) {
	for _, word := range epwHeader {
		fields, ok, err := lines.next()
		if err != nil {
			return place, 0, err
		}
		if !ok || !strings.EqualFold(strings.TrimSpace(fields[0]), word) {
			return place, 0, lines.at.errorf("want the header line %q", word)
		}
		switch word {
		case "LOCATION":
			place, zone, err = lines.at.epwLocation(fields)
		case "DATA PERIODS":
			err = lines.at.epwPeriods(fields)
		}
		if err != nil {
			return place, 0, err
		}
	}
	return place, zone, nil
}

func (p position) epwLocation(fields []string) (place Place, zone time.Duration, err error) {
	if len(fields) < 10 {
		return place, 0, p.errorf("%d columns in LOCATION, want 10", len(fields))
	}
	zoneHours := 0.0
	for i, column := range []struct {
		into *float64
		limits
	}{
		{&place.LatitudeDeg, limits{"latitude", -90, 90, "degrees"}},
		{&place.LongitudeDeg, limits{"longitude", -180, 180, "degrees"}},
		{&zoneHours, limits{"time zone", -12, 14, "hours"}},
		{&place.AltitudeM, limits{"elevation", -500, 6000, "m"}},
	} {
		p.column = 7 + i
		if *column.into, err = p.number(fields[6+i], column.limits); err != nil {
			return place, 0, err
		}
	}
	return place, time.Duration(zoneHours * float64(time.Hour)), nil
}

// epwPeriods refuses files that are not one period of one row an hour.
func (p position) epwPeriods(fields []string) error {
	for i, what := range []string{"data periods", "rows an hour"} {
		p.column = i + 2
		if len(fields) < i+2 || strings.TrimSpace(fields[i+1]) != "1" {
			return p.errorf("want 1 as the number of %s", what)
		}
	}
	return nil
}

func (p position) epwRow(fields []string, index int) (row Row, err error) {
	if len(fields) < epwLeastFields {
		return row, p.errorf("%d columns, want at least %d", len(fields), epwLeastFields)
	}
	if err := p.checkEPWTime(fields, index); err != nil {
		return row, err
	}
	for _, column := range []struct {
		number int
		into   *float64
		limits
		missing float64
	}{
		{epwAir, &row.AirC, airLimits, epwNoAir},
		{epwGlobal, &row.GlobalHorizontalWM2, globalLimits, epwMissing},
		{epwBeam, &row.BeamNormalWM2, beamLimits, epwMissing},
		{epwDiffuse, &row.DiffuseHorizontalWM2, diffuseLimits, epwMissing},
	} {
		p.column = column.number
		field := strings.TrimSpace(fields[column.number-1])
		if v, err := strconv.ParseFloat(field, 64); err == nil && v >= column.missing {
			return row, p.errorf("%s is marked missing (%s); fill the gap first", column.what, field)
		}
		if *column.into, err = p.number(field, column.limits); err != nil {
			return row, err
		}
	}
	p.column = epwWind
	if row.WindMS, err = p.number(fields[epwWind-1], limits{windLimits.what, 0, epwNoWind, "m/s"}); err != nil {
		return row, err
	}
	if row.WindMS >= epwNoWind {
		row.WindMS = 0
	}
	p.column = epwInfrared
	infrared, err := p.number(fields[epwInfrared-1], limits{"infrared from the sky", 0, epwMissing, "W/m2"})
	row.SkyDropK = skyDropFromInfrared(infrared, row.AirC)
	return row, err
}

// checkEPWTime makes sure that rows follow each other hour by hour through a
// year of 365 days. The year in column 1 may be any: typical years join months
// of several.
func (p position) checkEPWTime(fields []string, index int) error {
	if strings.TrimSpace(fields[1]) == "2" && strings.TrimSpace(fields[2]) == "29" {
		p.column = 2
		return p.errorf("%s", leapDay)
	}
	want := time.Date(nominalYear, 1, 1, index, 0, 0, 0, time.UTC)
	for i, w := range []struct {
		what  string
		value int
	}{{"month", int(want.Month())}, {"day", want.Day()}, {"hour", want.Hour() + 1}} {
		p.column = i + 2
		got, err := strconv.Atoi(strings.TrimSpace(fields[i+1]))
		if err != nil || got != w.value {
			return p.errorf("%s is %q, want %d in hour %d of a year of 365 days", w.what, fields[i+1], w.value, index+1)
		}
	}
	return nil
}

// skyDropFromInfrared turns the sky's radiation on the level into how much
// colder than the air a black sky would be; NaN if there is no reading.
func skyDropFromInfrared(infraredWM2, airC float64) float64 {
	if infraredWM2 <= 0 || infraredWM2 >= epwMissing {
		return math.NaN()
	}
	skyC := math.Sqrt(math.Sqrt(infraredWM2/stefanBoltzmannWM2K4)) - physics.ZeroCelsiusK
	return math.Max(0, airC-skyC)
}
