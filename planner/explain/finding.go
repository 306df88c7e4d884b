package explain

import (
	"context"
	"io"
	"slices"
	"time"

	"sunstoker/history"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// mostTold is how many times that a finding stood are told.
const mostTold = 10

// Past is where a finding is looked for.
type Past struct {
	Reader *history.Reader
	Until  time.Time // what came later is left out; zero for all of it
}

// Finding tells what a finding means, what to check and how urgent it is. With a
// site it tells when it stood there, and on what evidence; past is nil where the
// site has no history, and none says why.
func Finding(ctx context.Context, n Name, s *site.Site, past *Past, none error, to io.Writer) error {
	var out paper.Sheet
	kind := n.finding
	out.Say(0, "%s", paper.Sentence(kind.Title()))
	out.Row("finding", column, "%s", kind)
	out.Row("how urgent", column, "%s", urgencyWords(kind.Urgency()))
	out.Row("what it likely is", column, "%s", kind.Likely())
	out.Row("what to check", column, "%s", kind.Check())
	if s != nil {
		out.Heading("In %s", s.Name)
		if past == nil {
			out.Say(2, "When it stood is not known: %v", none)
		} else if err := tellPast(ctx, &out, n, s, past); err != nil {
			return err
		}
	}
	return out.Write(to)
}

func tellPast(ctx context.Context, out *paper.Sheet, n Name, s *site.Site, past *Past) error {
	until, all := past.Until, "in all that the history holds"
	if until.IsZero() {
		until = time.Unix(1<<40, 0)
	} else {
		all = "up to then"
	}
	list, err := past.Reader.Spells(ctx, time.Unix(0, 0), until)
	if err != nil {
		return err
	}
	list = slices.DeleteFunc(list, func(sp history.Spell) bool { return sp.Raised.What.Key != n.finding.String() })
	if len(list) == 0 {
		out.Say(2, "It was never found %s.", all)
		return tellEnd(ctx, out, s, past)
	}
	if over := len(list) - mostTold; over > 0 {
		out.Say(2, "It was found %d times; the newest %d:", len(list), mostTold)
		list = list[over:]
	}
	c := clock{zone: s.Zone}
	for i := range list {
		tellSpell(out, &list[i], c)
	}
	out.Say(2, "What was measured then, and what ran:")
	out.Command(2, "explain", s.File, "--at", list[len(list)-1].Raised.Time.In(s.Zone).Format("2006-01-02 15:04"))
	return tellEnd(ctx, out, s, past)
}

// tellEnd tells up to when all that is known, where nobody asked for an earlier moment:
// a finding of the last minutes is not written yet, and it stands on the page.
func tellEnd(ctx context.Context, out *paper.Sheet, s *site.Site, past *Past) error {
	if !past.Until.IsZero() {
		return nil
	}
	newest, err := past.Reader.Newest(ctx)
	if err != nil || newest.IsZero() {
		return err
	}
	c := clock{zone: s.Zone}
	out.Say(2, endsAt+" What is found now stands on the page.", c.inWords(newest.Add(time.Minute)))
	return nil
}

// tellSpell tells of one time that a finding stood, with what was seen.
func tellSpell(out *paper.Sheet, sp *history.Spell, c clock) {
	first, last := &sp.Raised, &sp.Newest
	from := c.inWords(first.Time)
	c.near = first.Time
	until := "and stands at the end of what is written"
	if !sp.Until.IsZero() {
		until = "to " + c.inWords(sp.Until)
	}
	about := where(first)
	if about != "" {
		about += ": "
	}
	out.Say(2, "%sfrom %s %s", about, from, until)
	out.Say(4, "seen: %s", first.Text())
	if text := last.Text(); text != first.Text() {
		out.Say(4, "and at %s: %s", c.inWords(last.Time), text)
	}
	if first.Detail != "" {
		out.Say(4, "in its own words: %s", first.Detail)
	}
	if !sp.Sure {
		out.Say(4, "Nobody could vouch for the board's clock then: the times may be wrong.")
	}
}
