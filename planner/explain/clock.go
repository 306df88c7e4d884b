package explain

import (
	"fmt"
	"time"
)

// clock writes instants in a house's civil time.
type clock struct {
	zone *time.Location
	near time.Time // the day that is talked about needs no naming
}

// inWords is an instant as a person says it: "06:12", "24 November 18:21" on
// another day, with the year in another year.
func (c clock) inWords(at time.Time) string {
	at, near := at.In(c.zone), c.near.In(c.zone)
	text := at.Format("15:04")
	switch {
	case at.Year() != near.Year():
		text = at.Format("2 January 2006 15:04")
	case at.YearDay() != near.YearDay():
		text = at.Format("2 January 15:04")
	}
	if which := turn(at); which != "" {
		text += " (" + which + ")"
	}
	return text
}

// turn says which one an instant is of those that have its civil time, when the
// clocks went back; else it is empty.
func turn(at time.Time) string {
	all := instants(at, at.Location())
	if len(all) < 2 {
		return ""
	}
	if at.Equal(all[0]) {
		return "the first " + at.Format("15:04") + " of that night, before the clocks went back"
	}
	return "the second " + at.Format("15:04") + " of that night, after the clocks went back"
}

// offset is a zone's distance from UTC: "UTC+1", "UTC+5:45".
func offset(at time.Time) string {
	_, seconds := at.Zone()
	sign := '+'
	if seconds < 0 {
		sign, seconds = '-', -seconds
	}
	if minutes := seconds / 60 % 60; minutes != 0 {
		return fmt.Sprintf("UTC%c%d:%02d", sign, seconds/3600, minutes)
	}
	return fmt.Sprintf("UTC%c%d", sign, seconds/3600)
}

// instants are those at which the clocks of a zone show what a time shows,
// whatever zone that one is in: two in the hour that comes twice when clocks go
// back, none in the one that is left out when they go forward.
func instants(shown time.Time, zone *time.Location) []time.Time {
	asUTC := time.Date(shown.Year(), shown.Month(), shown.Day(), shown.Hour(), shown.Minute(), shown.Second(), 0, time.UTC)
	var out []time.Time
	// No two changes of a clock lie within two days of each other.
	for _, beside := range []time.Duration{-24 * time.Hour, 24 * time.Hour} {
		_, seconds := asUTC.Add(beside).In(zone).Zone()
		at := asUTC.Add(-time.Duration(seconds) * time.Second).In(zone)
		_, real := at.Zone()
		if real == seconds && (len(out) == 0 || !out[0].Equal(at)) {
			out = append(out, at)
		}
	}
	return out
}

// Instants reads a civil time such as "2026-11-25 06:40", or an instant such as
// "2026-11-25T05:40:00Z". There are two where clocks went back.
func Instants(text string, zone *time.Location) ([]time.Time, error) {
	if at, err := time.Parse(time.RFC3339, text); err == nil {
		return []time.Time{at.In(zone)}, nil
	}
	for _, form := range []string{"2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02T15:04:05"} {
		shown, err := time.Parse(form, text)
		if err != nil {
			continue
		}
		all := instants(shown, zone)
		if len(all) == 0 {
			return nil, fmt.Errorf("there was no %s by the clocks of %s: they went forward over it; give a time before or after", text, zone)
		}
		return all, nil
	}
	if _, err := time.Parse(time.DateOnly, text); err == nil {
		return nil, fmt.Errorf("%q is a day; give a minute of it, such as \"%s 06:40\"", text, text)
	}
	return nil, fmt.Errorf(`%q is no minute; write such as "2026-11-25 06:40", by the clocks of the house, or 2026-11-25T05:40:00Z`, text)
}
