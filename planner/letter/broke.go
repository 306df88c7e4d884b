package letter

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"sunstoker/control"
	"sunstoker/history"
)

// mostBroken is how many findings are told: what a page has room for.
const mostBroken = 6

// trouble is a finding with all the times at which it stood in the year.
type trouble struct {
	title, about string
	urgency      control.Urgency
	times        int
	length       time.Duration
	from, to     time.Time
	stands       bool   // at the end
	seen         string // the first time
}

// broke tells what was found in the year, the most urgent and the longest first.
func (l *Letter) broke() (texts []string) {
	list := l.troubles()
	if len(list) == 0 {
		return []string{"Nothing."}
	}
	for i := range list[:min(len(list), mostBroken)] {
		texts = append(texts, l.tell(&list[i]))
	}
	if more := len(list) - len(texts); more > 0 {
		texts = append(texts, fmt.Sprintf("And %s more, shorter or less urgent.", counted(more, "finding")))
	}
	return texts
}

// timesWrong is how often something was found that wants doing: a collector that is
// too hot to be pumped on a sunny day is good to know, and nothing wrong.
func (l *Letter) timesWrong() (n int) {
	for _, t := range l.troubles() {
		if t.urgency > control.Information {
			n += t.times
		}
	}
	return n
}

// troubles are the findings of the year, those about the same thing together.
func (l *Letter) troubles() (list []trouble) {
	at := map[[3]string]int{}
	for i := range l.spells {
		sp := &l.spells[i]
		key := [3]string{sp.Raised.What.Key, sp.Raised.System, sp.Raised.Part}
		k, known := at[key]
		if !known {
			k = len(list)
			at[key] = k
			list = append(list, l.troubleOf(sp))
		}
		list[k].add(sp, l)
	}
	slices.SortStableFunc(list, func(a, b trouble) int {
		return cmp.Or(b.rank()-a.rank(), cmp.Compare(b.length, a.length))
	})
	return list
}

// rank puts what is urgent first, and before the like of it what still stands.
func (t *trouble) rank() int {
	rank := 2 * int(t.urgency)
	if t.stands {
		rank++
	}
	return rank
}

func (l *Letter) troubleOf(sp *history.Spell) trouble {
	t := trouble{title: sp.Raised.What.Words, seen: sp.Raised.Text()}
	for _, k := range control.FindingKinds() {
		if k.String() == sp.Raised.What.Key {
			t.urgency = k.Urgency()
		}
	}
	var about []string
	if sp.Raised.Part != "" {
		about = append(about, strings.ReplaceAll(sp.Raised.Part, "_", " "))
	}
	if len(l.site.Systems) > 1 && sp.Raised.System != "" {
		about = append(about, sp.Raised.System)
	}
	t.about = strings.Join(about, " of ")
	return t
}

// add takes one time in, as far as it lies in the letter's span.
func (t *trouble) add(sp *history.Spell, l *Letter) {
	from, to := sp.Raised.Time.In(l.site.Zone), l.last.Add(-time.Second)
	if from.Before(l.begin) {
		from = l.begin
	}
	if !sp.Until.IsZero() {
		to = sp.Until.In(l.site.Zone)
	}
	if t.times == 0 {
		t.from = from
	}
	t.times, t.length, t.to = t.times+1, t.length+to.Sub(from), to
	t.stands = t.stands || sp.Until.IsZero()
}

// tell is a trouble in a sentence or two.
func (l *Letter) tell(t *trouble) string {
	text := t.title
	if t.about != "" {
		text += " (" + t.about + ")"
	}
	when := days(t.from, t.to)
	switch {
	case t.times > 1:
		when = fmt.Sprintf("%d times, %s, %s in all", t.times, when, lengthWords(t.length))
	case t.from.YearDay() == t.to.YearDay():
		when += ", for " + lengthWords(t.length)
	}
	if t.stands {
		when += ", and it stands at the end of the record"
	}
	text += ": " + when + ". Seen the first time: " + t.seen + "."
	switch {
	case t.urgency == control.AtOnce && t.stands:
		text = "Act at once: " + text
	case t.urgency == control.AtOnce:
		text = "Urgent while it stood: " + text
	case t.urgency == control.Information:
		text = "Good to know: " + text
	}
	return text
}

func lengthWords(d time.Duration) string { return control.Fill("{0 time}", [3]float64{d.Seconds()}) }
