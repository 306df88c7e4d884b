package letter

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/site"
)

// part is a paragraph of the letter under its heading, or a list.
type part struct {
	title string
	texts []string
}

// parts are what the letter says beside its figures and its chart.
func (l *Letter) parts() []part {
	return []part{
		{"Money, and what was planned", append(l.money(), l.plan())},
		{"Hot water", l.hotWater()},
		{"What was found wrong", l.broke()},
		{"What wants looking after", l.service()},
		{"What this letter knows", l.known()},
		{"Cautions", cautions},
	}
}

// cautions are those that an owner must not miss.
var cautions = []string{
	"Water from the tap can scald: if it is hotter than it was, warn everybody and call your installer. In the sun the loop holds steam: leave its valves closed. Loop, heater and roof are for licensed people; your local code comes first.",
	"This letter tells what was measured. It proves neither safety nor hygiene.",
}

// span is what the letter tells of: "In 2026", or "From 3 March to 25 November 2026".
func (l *Letter) span() string {
	if l.first.Equal(l.begin) && l.last.Equal(l.end) {
		return fmt.Sprintf("In %d", l.year)
	}
	return fmt.Sprintf("From %s to %s", l.first.Format("2 January"), l.last.Add(-time.Second).Format("2 January 2006"))
}

// lead is the year in one paragraph.
func (l *Letter) lead() string {
	t := l.total()
	if !l.sunCounted {
		return fmt.Sprintf("%s the backup heater brought %s kWh of heat from the meter. How much the sun brought can't be told: it takes probes at the top and at the bottom of the tank.", l.span(), whole(t.meter))
	}
	text := fmt.Sprintf("%s the sun brought %s kWh of heat into your hot water, and the backup heater %s kWh from the meter", l.span(), whole(t.sun), whole(t.meter))
	if t.sun+t.meter > 0 {
		text += fmt.Sprintf(": %s %% came from the sun", whole(100*t.sun/(t.sun+t.meter)))
	}
	if t.pumps >= 0.5 {
		text += fmt.Sprintf(". The pumps took %s kWh of electricity", whole(t.pumps))
	}
	return text + "."
}

func (l *Letter) money() []string {
	t, price := l.total(), l.site.Electricity
	if price.Currency == "" {
		return []string{"No price of electricity stands in the site file (price under [electricity]), so nothing is said of money."}
	}
	text := fmt.Sprintf("At %g %s a kWh, heater and pumps cost %s", price.PerKWh, price.Currency, l.amount(t.meter+t.pumps))
	if l.sunCounted {
		text += fmt.Sprintf("; what the sun brought would have cost %s from the meter", l.amount(t.sun))
	}
	return []string{text + ". The price is today's, for all of the year."}
}

// amount is what some electricity costs.
func (l *Letter) amount(kWh float64) string {
	price := l.site.Electricity
	return whole(kWh*price.PerKWh) + " " + price.Currency
}

// plan holds what came against what was planned, for months that were watched from
// beginning to end.
func (l *Letter) plan() string {
	var came, planned float64
	var of []string
	for i := range l.months {
		if m := &l.months[i]; m.promised > 0 && m.whole() {
			came, planned = came+m.sun, planned+m.promised
			of = append(of, m.begin.Format("January"))
		}
	}
	switch {
	case l.total().promised == 0:
		return "No plan stands in the site file (promised_heat of every system) to hold the sun's heat against."
	case !l.sunCounted:
		return "The sun's heat can't be held against the plan, since it can't be told."
	case planned == 0:
		return "No month was watched from beginning to end, so none can be held against the plan."
	}
	months := "in the year"
	if len(of) < len(l.months) {
		months = "in " + listed(of)
		if len(of) > 3 {
			months = fmt.Sprintf("in the %d months that were watched from beginning to end", len(of))
		}
	}
	return fmt.Sprintf("The plan was %s kWh from the sun %s; %s kWh came, %s %% of it. Years differ by a tenth or so in sun.", whole(planned), months, whole(came), whole(100*came/planned))
}

func (l *Letter) hotWater() []string {
	if len(l.cold) == 0 {
		return []string{"No day had enough readings of the top of the tank to tell."}
	}
	var told []string
	for i := range l.cold {
		told = append(told, l.of(l.cold[i].system)+l.cold[i].text())
	}
	text := "Days on which the top of the tank was colder than the taps want, for an hour or longer between %d and %d o'clock: %s. This is the tank; what came out of a tap is not measured."
	return []string{fmt.Sprintf(text, dayBegins, dayEnds, strings.Join(told, "; "))}
}

// text is how many cold days there were, and when.
func (c *coldDays) text() string {
	text := fmt.Sprintf("%d of %d that were read, below %g °C", c.cold, c.lookedAt, c.tapC)
	switch {
	case c.cold == 0:
		return fmt.Sprintf("none of %d that were read, below %g °C", c.lookedAt, c.tapC)
	case c.worst == c.cold:
		text += fmt.Sprintf(", in %s", c.in)
	case 2*c.worst > c.cold:
		text += fmt.Sprintf(", most of them in %s", c.in)
	}
	return text
}

// of names a system where there are several.
func (l *Letter) of(system string) string {
	if len(l.site.Systems) < 2 || system == "" {
		return ""
	}
	return system + ": "
}

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

// known says how much of the year the letter tells of.
func (l *Letter) known() []string {
	var watched, possible time.Duration
	for i := range l.days {
		watched += l.days[i].watched
		possible += l.days[i].end.Sub(l.days[i].begin)
	}
	text := fmt.Sprintf("It is made from the plant's own record, up to %s. ", l.last.Add(-time.Second).Format("2 January 2006, 15:04"))
	of := "of the year up to then"
	if l.first.After(l.begin) {
		text += fmt.Sprintf("The record begins on %s. ", l.first.Format("2 January 2006"))
		of = "since then"
	}
	text += fmt.Sprintf("Of the %s %s the plant was watched for %s", counted(len(l.days), "day"), of, percent(watched.Hours()/possible.Hours()))
	if told, more := l.gapWords(); len(told) > 0 {
		text += "; most was missed " + listed(told)
		if more > 0 {
			text += fmt.Sprintf(", and at %s more", counted(more, "time"))
		}
	}
	texts := []string{text + ". What was not watched stands in no figure here."}
	if n := l.unsure(); n > 0 {
		texts = append(texts, fmt.Sprintf("The dates of %s can't be relied on, since nobody could vouch for the clock.", counted(n, "finding")))
	}
	return texts
}

// mostGaps is how many gaps are told.
const mostGaps = 3

// gapWords tells of the longest gaps, in the order of time, and how many more
// there are.
func (l *Letter) gapWords() (told []string, more int) {
	gaps := l.gaps()
	longest := gaps[:min(len(gaps), mostGaps)]
	slices.SortFunc(longest, func(a, b breaks) int { return a.first.Compare(b.first) })
	for _, g := range longest {
		told = append(told, days(g.first, g.last))
	}
	return told, len(gaps) - len(longest)
}

// percent is a share that is never rounded up to all of it.
func percent(share float64) string {
	if share < 0.9995 && share >= 0.99 {
		return fmt.Sprintf("%.1f %%", 100*share)
	}
	return whole(100*share) + " %"
}

func (l *Letter) unsure() (n int) {
	for i := range l.spells {
		if !l.spells[i].Sure {
			n++
		}
	}
	return n
}

// days are days in a row as a person says it.
func days(first, last time.Time) string {
	switch {
	case first.YearDay() == last.YearDay():
		return "on " + first.Format("2 January")
	case first.Month() == last.Month():
		return fmt.Sprintf("from %d to %s", first.Day(), last.Format("2 January"))
	}
	return fmt.Sprintf("from %s to %s", first.Format("2 January"), last.Format("2 January"))
}

func listed(texts []string) string {
	if n := len(texts); n > 1 {
		return strings.Join(texts[:n-1], ", ") + " and " + texts[n-1]
	}
	return strings.Join(texts, "")
}

func counted(n int, what string) string {
	if n != 1 {
		what += "s"
	}
	return fmt.Sprintf("%d %s", n, what)
}

func whole(v float64) string { return fmt.Sprintf("%.0f", max(v, 0)) }
