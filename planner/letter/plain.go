package letter

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"sunstoker/planner/paper"
)

// chartColumns is how wide the longest bar is.
const chartColumns = 34

// WritePlain writes the letter as plain text.
func (l *Letter) WritePlain(w io.Writer) error {
	var s paper.Sheet
	s.Say(0, "%s: the year %d", l.site.Name, l.year)
	s.Heading("The year in short")
	s.Say(2, "%s", l.lead())
	s.Heading("Heat by month, kWh: # from the sun, - from the meter%s", l.plainKey())
	most := l.most()
	for i := range l.months {
		s.Line(l.plainMonth(&l.months[i], most))
	}
	if l.anyPart() {
		s.Say(2, "* not watched from beginning to end")
	}
	for _, p := range l.parts() {
		s.Heading("%s", p.title)
		for _, text := range p.texts {
			s.Say(2, "%s", text)
		}
	}
	return s.Write(w)
}

func (l *Letter) plainKey() string {
	if l.total().promised > 0 {
		return ", | planned from the sun"
	}
	return ""
}

// most is the longest bar of the chart, kWh.
func (l *Letter) most() float64 {
	most := 1.0
	for i := range l.months {
		m := &l.months[i]
		most = max(most, m.sun+m.meter, m.promised)
	}
	return most
}

// anyPart tells whether a month was watched in part.
func (l *Letter) anyPart() bool {
	return slices.ContainsFunc(l.months[:], func(m month) bool { return m.watched > 0 && !m.whole() })
}

func (l *Letter) plainMonth(m *month, most float64) string {
	columns := func(kWh float64) int { return int(chartColumns*kWh/most + 0.5) }
	bar := []rune(strings.Repeat("#", columns(m.sun)) + strings.Repeat("-", max(0, columns(m.sun+m.meter)-columns(m.sun))))
	for len(bar) <= chartColumns {
		bar = append(bar, ' ')
	}
	if m.promised > 0 {
		bar[columns(m.promised)] = '|'
	}
	mark := " "
	switch {
	case m.watched == 0:
		return fmt.Sprintf("  %-9s  not watched            %s", m.begin.Format("January"), string(bar))
	case !m.whole():
		mark = "*"
	}
	sun := whole(m.sun)
	if !l.sunCounted {
		sun = "?"
	}
	return fmt.Sprintf("  %-9s%s %5s sun %5s meter  %s", m.begin.Format("January"), mark, sun, whole(m.meter), string(bar))
}
