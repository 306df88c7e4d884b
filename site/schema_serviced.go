package site

import (
	"fmt"
	"time"
)

// servicedTable holds when a person last did what wears with the years. The letter
// to the owner tells of it; the controller does not look at it.
var servicedTable = table{
	name:    "serviced",
	meaning: "When work that comes again was last done, for the letter to the owner; what is left out is not known.",
	keys: []key{
		{name: "fluid_filled", kind: plainText, form: &dateForm, example: "2024-05-03",
			meaning: "Day on which the loop was filled with its antifreeze.",
			set:     func(t *target, v value) { t.system.Serviced.FluidFilled = dateOf(v) }},
		{name: "anode_checked", kind: plainText, form: &dateForm, example: "2025-04-22",
			meaning: "Day on which the tank's sacrificial anode was looked at or exchanged.",
			set:     func(t *target, v value) { t.system.Serviced.AnodeChecked = dateOf(v) }},
		{name: "filter_cleaned", kind: plainText, form: &dateForm, example: "2026-05-11",
			meaning: "Day on which filters and strainers were cleaned.",
			set:     func(t *target, v value) { t.system.Serviced.FilterCleaned = dateOf(v) }},
	},
}

// Serviced tells when work that comes again was last done: midnights in UTC, zero
// where that is not known.
type Serviced struct{ FluidFilled, AnodeChecked, FilterCleaned time.Time }

var dateForm = form{
	allowed: `a day of 1980 to 2199, such as "2024-05-03"`,
	wrong:   func(text string) string { return wrongIn(parseDate(text)) },
}

func parseDate(text string) (time.Time, error) {
	day, err := time.Parse(time.DateOnly, text)
	if err != nil || day.Year() < 1980 || day.Year() > 2199 {
		return time.Time{}, fmt.Errorf("%q is no day", text)
	}
	return day, nil
}

// dateOf is a day that the form has proved.
func dateOf(v value) time.Time {
	day, _ := parseDate(v.text)
	return day
}
