package site

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// YearDay is a day of every year.
type YearDay struct {
	Month time.Month
	Day   int
}

// Days are days in a row, every year, both ends included; they may run over the
// turn of the year.
type Days struct{ First, Last YearDay }

// Guests are more people in the house on some days.
type Guests struct {
	Days
	People int
}

// mostGuests bounds the guests of one visit.
const mostGuests = 50

var holidaysForm = form{
	allowed: `days such as "2 August to 15 August", or several of them with commas between`,
	wrong:   func(text string) string { return wrongIn(parseHolidays(text)) },
}

var guestsForm = form{
	allowed: `a number of people from 1 to 50 and their days, such as "2 from 23 December to 2 January", or several of them with commas between`,
	wrong:   func(text string) string { return wrongIn(parseGuests(text)) },
}

func wrongIn[T any](_ T, err error) string {
	if err == nil {
		return ""
	}
	return err.Error()
}

func parseHolidays(text string) (all []Days, err error) {
	for part := range strings.SplitSeq(text, ",") {
		days, err := parseDays(part)
		if err != nil {
			return nil, err
		}
		all = append(all, days)
	}
	return all, nil
}

func parseGuests(text string) (all []Guests, err error) {
	for part := range strings.SplitSeq(text, ",") {
		number, when, found := strings.Cut(strings.TrimSpace(part), " from ")
		people, err := strconv.Atoi(number)
		if !found || err != nil || people < 1 || people > mostGuests {
			return nil, fmt.Errorf("%q does not say how many come and when", strings.TrimSpace(part))
		}
		days, err := parseDays(when)
		if err != nil {
			return nil, err
		}
		all = append(all, Guests{Days: days, People: people})
	}
	return all, nil
}

func parseDays(text string) (Days, error) {
	first, last, found := strings.Cut(text, " to ")
	if !found {
		return Days{}, fmt.Errorf("%q is no run of days", strings.TrimSpace(text))
	}
	from, err := parseYearDay(first)
	if err != nil {
		return Days{}, err
	}
	to, err := parseYearDay(last)
	return Days{First: from, Last: to}, err
}

func parseYearDay(text string) (YearDay, error) {
	text = strings.TrimSpace(text)
	// A leap year, so that 29 February can be written.
	day, err := time.Parse("2 January 2006", text+" 2000")
	if err != nil {
		return YearDay{}, fmt.Errorf("%q is no day of the year", text)
	}
	return YearDay{Month: day.Month(), Day: day.Day()}, nil
}
