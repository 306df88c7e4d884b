package weather

import (
	"fmt"
	"io"
	"math"
	"strings"
	"time"
)

// csvHeader is the only first line ReadCSV takes.
const csvHeader = "time_utc,ghi_W_m2,dni_W_m2,dhi_W_m2,air_temperature_degC,wind_speed_m_s"

// ReadCSV reads a typical year of 8760 hourly rows with the columns
//
//	time_utc,ghi_W_m2,dni_W_m2,dhi_W_m2,air_temperature_degC,wind_speed_m_s
//
// from 1 January 00:00 UTC on, in any one year; of a leap year 29 February is
// left out. What the printed times mean is told by stamps. The name is used in
// errors, which give the line and column of what is wrong. Light that cannot
// be is refused as by NewHourly.
func ReadCSV(r io.Reader, name string, place Place, stamps Stamps) (*Hourly, error) {
	if err := place.Validate(); err != nil {
		return nil, err
	}
	rows, err := readCSVRows(r, name)
	if err != nil {
		return nil, err
	}
	w, err := newHourly(place, stamps, rows, "time_utc is UTC: are these local times? And is the file from the longitude of the site, for which it is taken?")
	if err != nil {
		return nil, fmt.Errorf("weather: %s: %w", name, err)
	}
	return w, nil
}

func readCSVRows(r io.Reader, name string) ([]Row, error) {
	lines := newLineReader(r, name)
	header, ok, err := lines.next()
	if err != nil {
		return nil, err
	}
	if got := strings.Join(header, ","); !ok || got != csvHeader {
		return nil, lines.at.errorf("the first line is %.80q, want %q (or an EPW file, which begins with LOCATION)", got, csvHeader)
	}
	rows := make([]Row, 0, hoursPerYear)
	var first time.Time
	for {
		fields, ok, err := lines.next()
		if err != nil {
			return nil, err
		}
		if !ok {
			break
		}
		row, at, err := lines.at.csvRow(fields)
		if err != nil {
			return nil, err
		}
		if len(rows) == 0 {
			first = at
		}
		if err := lines.at.checkStamp(at, first, len(rows)); err != nil {
			return nil, err
		}
		rows = append(rows, row)
	}
	if len(rows) != hoursPerYear {
		return nil, lines.at.errorf("the file ends after %d hours, want %d", len(rows), hoursPerYear)
	}
	return rows, nil
}

// ReadCSVFile is ReadCSV for a file, packed if its name ends in .gz.
func ReadCSVFile(path string, place Place, stamps Stamps) (*Hourly, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return ReadCSV(f, path, place, stamps)
}

func (p position) csvRow(fields []string) (Row, time.Time, error) {
	if want := strings.Count(csvHeader, ",") + 1; len(fields) != want {
		return Row{}, time.Time{}, p.errorf("%d columns, want %d", len(fields), want)
	}
	p.column = 1
	at, err := time.Parse(time.RFC3339, fields[0])
	if err != nil {
		return Row{}, time.Time{}, p.errorf("time is %q, want one like 2001-01-01T00:00:00Z", fields[0])
	}
	row := Row{SkyDropK: math.NaN()}
	for i, column := range []struct {
		into *float64
		limits
	}{
		{&row.GlobalHorizontalWM2, globalLimits},
		{&row.BeamNormalWM2, beamLimits},
		{&row.DiffuseHorizontalWM2, diffuseLimits},
		{&row.AirC, airLimits},
		{&row.WindMS, windLimits},
	} {
		p.column = i + 2
		if *column.into, err = p.number(fields[i+1], column.limits); err != nil {
			return Row{}, time.Time{}, err
		}
	}
	return row, at.UTC(), nil
}

// checkStamp makes sure that rows follow each other by the hour from the start
// of a year on, without 29 February.
func (p position) checkStamp(at, first time.Time, index int) error {
	p.column = 1
	if first.YearDay() != 1 || first.Hour() != 0 || first.Minute() != 0 || first.Second() != 0 {
		return p.errorf("the file begins at %s, want 1 January 00:00 UTC", first.Format(time.RFC3339))
	}
	if at.Month() == time.February && at.Day() == 29 {
		return p.errorf("%s", leapDay)
	}
	if index >= hoursPerYear {
		return p.errorf("more than %d hours; a typical year has 365 days", hoursPerYear)
	}
	nominal := time.Date(nominalYear, 1, 1, index, 0, 0, 0, time.UTC)
	want := time.Date(first.Year(), nominal.Month(), nominal.Day(), nominal.Hour(), 0, 0, 0, time.UTC)
	if !at.Equal(want) {
		return p.errorf("time is %s, want %s", at.Format(time.RFC3339), want.Format(time.RFC3339))
	}
	return nil
}

const leapDay = "29 February; a typical year has 365 days, leave the 24 rows of that day out"
