package station

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
)

// The bounds of a file that foretells the light; deploy/forecast.md has them for
// people.
const (
	mostForecastBytes = 1 << 20
	// mostLightWM2 is more than a bright cloud beside a high sun sends for an hour.
	mostLightWM2 = 1500
	// lightAtNightWM2 is more than a figure by night may be, and lowSunDeg how far
	// below the horizon the sun must be through an hour for night.
	lightAtNightWM2, lowSunDeg = 20, -6
)

const forecastHeader = "time,light"

// toldHour is a row of a forecast file: the hour that begins then has so much light
// in the mean.
type toldHour struct {
	begin time.Time
	wm2   float64
}

// readForecast reads a forecast file, which deploy/forecast.md describes. The error
// names the line and says what to do.
func readForecast(text []byte, latitudeDeg, longitudeDeg float64) ([]toldHour, error) {
	if len(text) > mostForecastBytes {
		return nil, fmt.Errorf("more than %d bytes; give the hours of the next days alone", mostForecastBytes)
	}
	rows := csv.NewReader(bytes.NewReader(text))
	rows.Comment, rows.TrimLeadingSpace, rows.FieldsPerRecord, rows.ReuseRecord = '#', true, -1, true
	var hours []toldHour
	for headed := false; ; headed = true {
		row, err := rows.Read()
		switch {
		case errors.Is(err, io.EOF) && len(hours) == 0:
			return nil, fmt.Errorf("no hour is foretold; write %q in the first line, and a row for each hour below it", forecastHeader)
		case errors.Is(err, io.EOF):
			return hours, nil
		case err != nil:
			return nil, fmt.Errorf("no rows of two fields: %w", err)
		}
		line, _ := rows.FieldPos(0)
		if !headed {
			if strings.Join(row, ",") != forecastHeader {
				return nil, fmt.Errorf("line %d: the header is %q; write %q", line, strings.Join(row, ","), forecastHeader)
			}
			continue
		}
		hour, err := readHour(row)
		if err == nil {
			err = hour.check(hours, latitudeDeg, longitudeDeg)
		}
		if err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		hours = append(hours, hour)
	}
}

// readHour reads one row.
func readHour(row []string) (h toldHour, err error) {
	if len(row) != 2 {
		return h, fmt.Errorf("%d fields; write the hour's begin and its light, with a comma between", len(row))
	}
	for _, layout := range []string{time.RFC3339, "2006-01-02T15:04Z07:00"} {
		if h.begin, err = time.Parse(layout, row[0]); err == nil {
			break
		}
	}
	if err != nil {
		return h, fmt.Errorf(`%q is no time with its zone; write it as "2026-07-01T14:00+02:00", or with Z for UTC`, row[0])
	}
	h.wm2, err = strconv.ParseFloat(row[1], 64)
	if err != nil || !(h.wm2 >= 0 && h.wm2 <= mostLightWM2) {
		return h, fmt.Errorf("%q is no light of 0 to %d W/m²; write the mean of the hour as a plain number, and leave out hours that are not known", row[1], mostLightWM2)
	}
	return h, nil
}

// check holds an hour against those before it, and against the sun.
func (h *toldHour) check(before []toldHour, latitudeDeg, longitudeDeg float64) error {
	if len(before) > 0 {
		last := before[len(before)-1].begin
		if after := h.begin.Sub(last); after < time.Hour || after%time.Hour != 0 {
			return fmt.Errorf("this hour begins %v after the one above; write a row for each whole hour, the earliest first", after)
		}
	}
	if h.wm2 <= lightAtNightWM2 {
		return nil
	}
	for _, at := range []time.Duration{0, 30 * time.Minute, time.Hour} {
		if physics.SunAt(h.begin.Add(at), latitudeDeg, longitudeDeg).ElevationDeg > lowSunDeg {
			return nil
		}
	}
	return fmt.Errorf("%g W/m² at %s, when it is night here; mend the time zone of the rows, or the site's place", h.wm2, h.begin.Format("2006-01-02 15:04 Z07:00"))
}

// lightOf is what the controller takes of a file that was made at a time: the hours
// from now on.
func lightOf(hours []toldHour, made, now time.Time, onCollectors bool) (*control.LightForecast, error) {
	for len(hours) > 0 && !hours[0].begin.Add(time.Hour).After(now) {
		hours = hours[1:]
	}
	if len(hours) == 0 {
		return nil, errors.New("all its hours are past; see why nothing writes a new one")
	}
	l := &control.LightForecast{Made: made, From: hours[0].begin, OnCollectors: onCollectors}
	for i := range l.WM2 {
		l.WM2[i] = -1 // nothing is said
	}
	for _, h := range hours {
		if i := int(h.begin.Sub(l.From) / time.Hour); i < control.LightHours {
			l.WM2[i] = h.wm2
		}
	}
	return l, nil
}
