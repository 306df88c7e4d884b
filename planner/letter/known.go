package letter

import (
	"fmt"
	"slices"
	"time"
)

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
