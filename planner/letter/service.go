package letter

import (
	"fmt"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

// never is for what is not due by its date alone: antifreeze may have been measured
// since it was filled.
const never = 1 << 30

// chores are what comes again without any sign of its own, with how many months go
// by until then. Common practice, no source.
var chores = []struct {
	title, again string
	months       int
	needed       func(*site.System) bool
	done         func(*site.Serviced) time.Time
}{
	{"Antifreeze, filled", "have it measured every second year", never, func(s *site.System) bool { return s.Glycol }, func(d *site.Serviced) time.Time { return d.FluidFilled }},
	{"Anode in the tank, if it has one", "have it looked at every second year, in hard water yearly", 24, func(s *site.System) bool { return s.Store == site.DrinkingWater }, func(d *site.Serviced) time.Time { return d.AnodeChecked }},
	{"Filters and strainers", "have them cleaned yearly", 12, func(*site.System) bool { return true }, func(d *site.Serviced) time.Time { return d.FilterCleaned }},
}

func (l *Letter) service() (texts []string) {
	for _, c := range chores {
		var told, unknown []string
		for i := range l.site.Systems {
			s := &l.site.Systems[i]
			switch done := c.done(&s.Serviced); {
			case !c.needed(s):
			case done.IsZero():
				unknown = append(unknown, s.Name)
			default:
				told = append(told, l.of(s.Name)+l.since(done, c.months))
			}
		}
		switch {
		case len(unknown) > 0 && len(told) == 0:
			told = []string{"no date known, ask your installer"}
		case len(unknown) > 0:
			told = append(told, "no date known of "+listed(unknown)+", ask your installer")
		case len(told) == 0:
			continue
		}
		texts = append(texts, fmt.Sprintf("%s: %s. It is usual to %s.", c.title, strings.Join(told, "; "), c.again))
	}
	texts = append(texts, l.measured()...)
	if hot := l.stagnations(); hot > 0 {
		texts = append(texts, fmt.Sprintf("The collectors stood too hot to be pumped %s, which ages antifreeze.", counted(hot, "time")))
	}
	return append(texts, "Each year have relief valves, tempering valve, the heater's cut-out and the pressure of the expansion vessel tried.")
}

// measured tells when antifreeze was measured at the hand-over, and which service
// was agreed on then.
func (l *Letter) measured() (texts []string) {
	var told []string
	for i, at := range l.handed.Antifreeze {
		if !at.IsZero() {
			told = append(told, l.of(l.site.Systems[i].Name)+l.since(at, 24))
		}
	}
	if len(told) > 0 {
		texts = append(texts, fmt.Sprintf("Antifreeze, measured at the hand-over: %s.", strings.Join(told, "; ")))
	}
	if next := l.handed.NextService; !next.IsZero() {
		texts = append(texts, fmt.Sprintf("The service agreed on at the hand-over is that of %s.", next.Format("2 January 2006")))
	}
	return texts
}

// stagnations are the times that collectors with antifreeze were too hot to be pumped.
func (l *Letter) stagnations() (n int) {
	for i := range l.spells {
		for k := range l.site.Systems {
			if e := &l.spells[i].Raised; e.What.Key == control.FoundStagnation.String() && e.System == l.site.Systems[k].Name && l.site.Systems[k].Glycol {
				n++
			}
		}
	}
	return n
}

// since is a day of the past with how long ago it was, as of the end of the letter,
// and whether what comes again after some months is due.
func (l *Letter) since(day time.Time, again int) string {
	text := day.Format("2 January 2006")
	if day.After(l.last) {
		return text + ", which lies after this letter's end"
	}
	months := (l.last.Year()-day.Year())*12 + int(l.last.Month()) - int(day.Month())
	if l.last.Day() < day.Day() {
		months--
	}
	switch {
	case months < 1:
		text += ", less than a month ago"
	case months < 24:
		text += ", " + counted(months, "month") + " ago"
	default:
		text += fmt.Sprintf(", %d years ago", months/12)
	}
	if months >= again {
		text += ", and so it is due"
	}
	return text
}
