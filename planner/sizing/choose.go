package sizing

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"sunstoker/site"
)

// mostShortShare is how much of the wanted heat may come too cold before an option
// is no longer among the best. Common practice, no source.
const mostShortShare = 0.05

// pick is one of the best, with why.
type pick struct {
	*outcome
	number  int // in the table, from 1
	reasons []string
}

// why is the reasons in one sentence.
func (p *pick) why() string {
	text := strings.Join(p.reasons, "; ") + "."
	return strings.ToUpper(text[:1]) + text[1:]
}

// mostPicks is how many are the best.
const mostPicks = 3

// choose finds the best three of those that least speaks against: by money, by sun,
// by payback, and then again by money. The first is the one that is recommended.
// Where fewer fit, the others follow, what weighs least first, with what speaks
// against them.
func choose(w *site.Wish, all []*outcome) []pick {
	byWeight := map[objection][]*outcome{}
	for _, o := range all {
		byWeight[o.worst(w)] = append(byWeight[o.worst(w)], o)
	}
	weights := slices.Sorted(maps.Keys(byWeight))
	fit := byWeight[weights[0]]
	c := chooser{wish: w, all: all}
	money := sorted(fit, func(o *outcome) float64 { return o.whole })
	c.add(money[0], fmt.Sprintf("least money in %d years, %s to fit and run", w.Prices.Years, c.amount(money[0].whole)))
	sun := sorted(fit, func(o *outcome) float64 { return -o.share })[0]
	within := ""
	if w.Prices.Budget.Currency != "" && !sun.overBudget(w) {
		within = " within the budget"
	}
	c.add(sun, fmt.Sprintf("most from the sun%s, %.0f %% of the heat", within, 100*sun.share))
	soonest := sorted(fit, func(o *outcome) float64 { return o.payback })[0]
	if soonest.savedYearly > 0 {
		c.add(soonest, fmt.Sprintf("paid back soonest, after %.1f years", soonest.payback))
	}
	for _, weight := range weights {
		c.fill(sorted(byWeight[weight], func(o *outcome) float64 { return o.whole }), money[0])
	}
	for i := range c.picks {
		if words := c.picks[i].againstWords(w); words != "" {
			c.picks[i].reasons = append(c.picks[i].reasons, "but "+words)
		}
	}
	return c.picks
}

// sorted are outcomes by a figure, the least first, and the cheaper of two alike.
func sorted(of []*outcome, by func(*outcome) float64) []*outcome {
	out := slices.Clone(of)
	slices.SortStableFunc(out, func(a, b *outcome) int { return cmp.Or(cmp.Compare(by(a), by(b)), cmp.Compare(a.cost, b.cost)) })
	return out
}

type chooser struct {
	wish  *site.Wish
	all   []*outcome
	picks []pick
}

func (c *chooser) has(o *outcome) bool {
	return slices.ContainsFunc(c.picks, func(p pick) bool { return p.outcome == o })
}

func (c *chooser) add(o *outcome, reason string) {
	for i := range c.picks {
		if c.picks[i].outcome == o {
			c.picks[i].reasons = append(c.picks[i].reasons, reason)
			return
		}
	}
	c.picks = append(c.picks, pick{outcome: o, number: 1 + slices.Index(c.all, o), reasons: []string{reason}})
}

// fill adds what follows in money, until there are enough.
func (c *chooser) fill(of []*outcome, best *outcome) {
	for _, o := range of {
		if len(c.picks) == mostPicks {
			return
		}
		if !c.has(o) {
			c.add(o, c.beside(o, best))
		}
	}
}

// beside holds an option against the one that is recommended, by what differs.
func (c *chooser) beside(o, best *outcome) string {
	more := c.amount(o.whole-best.whole) + " more"
	if o.whole < best.whole {
		more = c.amount(best.whole-o.whole) + " less"
	}
	var parts []string
	for _, p := range []struct{ form, here, there string }{
		{"%s %% from the sun instead of %s %%", fixed(100*o.share, 0), fixed(100*best.share, 0)},
		{"%s h of stagnation instead of %s h", fixed(o.stagnationH, 0), fixed(best.stagnationH, 0)},
		{"%s days with a cold tap instead of %s", fmt.Sprint(o.coldDays), fmt.Sprint(best.coldDays)},
	} {
		if p.here != p.there {
			parts = append(parts, fmt.Sprintf(p.form, p.here, p.there))
		}
	}
	words := fmt.Sprintf("%s in %d years", more, c.wish.Prices.Years)
	if last := len(parts) - 1; last > 0 {
		return words + ", with " + strings.Join(parts[:last], ", ") + " and " + parts[last]
	} else if last == 0 {
		return words + ", with " + parts[0]
	}
	return words
}

func (c *chooser) amount(x float64) string { return amount(c.wish, x) }

// amount writes money.
func amount(w *site.Wish, x float64) string {
	return fmt.Sprintf("%.0f %s", x, w.House.Electricity.Currency)
}

// paybackWords is the payback in years, or never.
func paybackWords(o *outcome) string {
	if o.savedYearly <= 0 {
		return "never"
	}
	return fmt.Sprintf("%.1f", o.payback)
}
