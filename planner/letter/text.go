package letter

import (
	"fmt"
	"strings"
	"time"
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
	first, last := l.first, l.last.Add(-time.Second)
	if first.YearDay() == last.YearDay() {
		return "On " + first.Format("2 January 2006")
	}
	return fmt.Sprintf("From %s to %s", first.Format("2 January"), last.Format("2 January 2006"))
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
