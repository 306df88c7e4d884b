package explain

import (
	"fmt"
	"strings"

	"sunstoker/control"
	"sunstoker/history"
)

// PartWords is a place or actuator as a person says it; what an older program
// had is said by its name.
func PartWords(name string) string {
	for _, p := range control.Places() {
		if p.String() == name {
			return p.Words()
		}
	}
	for _, a := range control.Actuators() {
		if a.String() == name {
			return a.Words()
		}
	}
	return strings.ReplaceAll(name, "_", " ")
}

// isOutput tells whether a series is an output's level.
func isOutput(name string) bool {
	for _, a := range control.Actuators() {
		if a.String() == name {
			return true
		}
	}
	return false
}

// StateWords says what an output does at a level, as the page does.
func StateWords(part string, level float64) string {
	on, off := "running", "at rest"
	if part == control.BackupHeater.String() {
		on, off = "heating", "off"
	}
	switch {
	case level <= 0:
		return off
	case level >= 1:
		return on
	}
	return fmt.Sprintf("%s at %.0f %%", on, 100*level)
}

// bookWords are the series of the energy book.
var bookWords = map[string]string{
	"sun_heat": "heat from the sun", "meter_heat": "heat from the meter", "drawn_heat": "heat drawn at the taps",
	"tank_loss": "heat lost by the tank", "loop_loss": "heat lost by the loop", "pump_electricity": "electricity of the loop pump",
	"circulation_loss": "heat lost by the hot-water circulation", "circulation_electricity": "electricity of its pump",
}

func bookName(series string) string {
	if words, known := bookWords[series]; known {
		return words
	}
	return strings.ReplaceAll(series, "_", " ")
}

// measured is a value with its unit, with a digit as the page shows it.
func measured(v float64, unit string) string {
	text := fmt.Sprintf("%.1f", v)
	if text == "-0.0" {
		text = "0.0"
	}
	return strings.TrimSpace(text + " " + unit)
}

// urgencyWords says an urgency as the page does.
func urgencyWords(u control.Urgency) string {
	switch u {
	case control.AtOnce:
		return "act at once"
	case control.Soon:
		return "soon: have it looked at in the next days"
	}
	return "good to know"
}

// where names what an event is about: "collector of roof", "roof", or empty.
func where(e *history.Event) string {
	switch {
	case e.Part == "":
		return e.System
	case e.System == "":
		return PartWords(e.Part)
	}
	return PartWords(e.Part) + " of " + e.System
}

// kindNamed finds a kind of finding by its name.
func kindNamed(name string) (control.FindingKind, bool) {
	for _, k := range control.FindingKinds() {
		if k.String() == name {
			return k, true
		}
	}
	return 0, false
}
