package history

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"time"
)

// mostTold is how many gaps or damages are told one by one.
const mostTold = 20

// ErrFound is the error of a check that found damage; what it is stands in the text.
var ErrFound = errors.New("the history is damaged: " + whatToDoAboutDamage)

// Check looks through the history of a folder and tells in words what it holds,
// what is missing and what is damaged. Now is the time by which a row can lie in
// the future.
func Check(ctx context.Context, folder string, now time.Time, zone *time.Location, to io.Writer) error {
	r, err := Open(folder)
	if err != nil {
		return err
	}
	c := checker{r: r, ctx: ctx, now: now.Unix(), zone: zone, to: to}
	err = c.all()
	return errors.Join(err, r.Close())
}

type checker struct {
	r    *Reader
	ctx  context.Context
	now  int64
	zone *time.Location
	to   io.Writer
	bad  bool
}

func (c *checker) say(format string, args ...any) { fmt.Fprintf(c.to, format+"\n", args...) }

func (c *checker) all() error {
	if size, err := sizeOf(c.r.path); err == nil {
		c.say("%s: %.1f MB", c.r.path, float64(size)/1e6)
	}
	for _, look := range []func() error{c.pages, c.tiers, c.rows, c.events, c.gaps, c.aside} {
		if err := look(); err != nil {
			if !isDamaged(err) {
				return fmt.Errorf("%s: %s", c.r.path, inWords(err))
			}
			c.bad = true
			c.say("damaged: %v", err)
		}
	}
	if c.bad {
		return ErrFound
	}
	c.say("in order")
	return nil
}

// pages lets SQLite look through the whole file.
func (c *checker) pages() error {
	return eachRow(c.ctx, c.r.db, fmt.Sprintf("PRAGMA integrity_check(%d)", mostTold), func(scan func(...any) error) error {
		var found string
		if err := scan(&found); err != nil {
			return err
		}
		if found != "ok" {
			c.bad = true
			c.say("damaged: %s", found)
		}
		return nil
	})
}

func (c *checker) tiers() error {
	for i := range tiers {
		t := &tiers[i]
		var n, unsure, ahead int64
		var first, last sql.NullInt64
		err := c.r.db.QueryRowContext(c.ctx, "SELECT count(*), min(start), max(start), count(*) FILTER (WHERE NOT sure), count(*) FILTER (WHERE start > ?) FROM "+t.table, c.now).
			Scan(&n, &first, &last, &unsure, &ahead)
		if err != nil {
			return err
		}
		if n == 0 {
			c.say("%s: none yet", t.words)
			continue
		}
		c.say("%s: %d, from %s to %s", t.words, n, c.time(first.Int64), c.time(last.Int64+t.span))
		if unsure > 0 {
			c.say("%s: %d were written while nobody could vouch for the clock", t.words, unsure)
		}
		if ahead > 0 {
			c.say("%s: %d lie in the future: the clock was wrong when they were written", t.words, ahead)
		}
	}
	return nil
}

// rows reads every figure.
func (c *checker) rows() error {
	for i := range tiers {
		if err := c.r.rows(c.ctx, i, -1<<62, 1<<62, func(*row) error { return nil }); err != nil {
			return err
		}
	}
	return nil
}

func (c *checker) events() error {
	n := 0
	err := c.r.Events(c.ctx, WantedEvents{From: time.Unix(-1<<40, 0), To: time.Unix(1<<40, 0)}, func(*Event) error { n++; return nil })
	if err == nil {
		c.say("events: %d", n)
	}
	return err
}

// gaps tells when nothing was watched, by quarter hours, which reach back
// farthest.
func (c *checker) gaps() error {
	t := &tiers[quarterTier]
	var n int
	var long int64
	var told []string
	err := eachRow(c.ctx, c.r.db, "SELECT before, start FROM (SELECT start, lag(start) OVER (ORDER BY start) AS before FROM "+t.table+") WHERE start - before > ? ORDER BY start DESC",
		func(scan func(...any) error) error {
			var from, to int64
			if err := scan(&from, &to); err != nil {
				return err
			}
			from += t.span
			n, long = n+1, long+to-from
			if n <= mostTold {
				told = append(told, fmt.Sprintf("nothing from %s to %s", c.time(from), c.time(to)))
			}
			return nil
		}, t.span)
	if err != nil || n == 0 {
		return err
	}
	c.say("gaps: %d, %.1f h in all; the newest:", n, float64(long)/3600)
	for _, line := range told {
		c.say("  %s", line)
	}
	return nil
}

func (c *checker) aside() error {
	files, err := setAsides(c.r.path)
	for _, f := range files {
		c.say("set aside, since it was damaged: %s", f)
	}
	return err
}

func (c *checker) time(at int64) string {
	return time.Unix(at, 0).In(c.zone).Format("2006-01-02 15:04 -0700")
}
