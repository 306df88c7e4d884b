package history

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"
)

// What can be exported.
const (
	ExportMinutes      = "minutes"
	ExportQuarterHours = "quarter-hours"
	ExportEnergy       = "energy"
	ExportEvents       = "events"
)

// Exported says what goes into a table.
type Exported struct {
	What     string // one of the Export words
	From, To time.Time
}

// Export writes a table as CSV (RFC 4180), times in UTC. Figures stand with a
// point, whatever the country.
func (r *Reader) Export(ctx context.Context, to io.Writer, e Exported) error {
	table := csv.NewWriter(to)
	var err error
	switch e.What {
	case ExportMinutes:
		err = r.exportRows(ctx, table, minuteTier, false, e)
	case ExportQuarterHours:
		err = r.exportRows(ctx, table, quarterTier, false, e)
	case ExportEnergy:
		err = r.exportRows(ctx, table, hourTier, true, e)
	case ExportEvents:
		err = r.exportEvents(ctx, table, e)
	default:
		err = fmt.Errorf("there is no table %q to export", e.What)
	}
	table.Flush()
	if err != nil {
		return err
	}
	return table.Error()
}

// exportRows writes the rows of a tier, of amounts alone or of all series. A
// series that a row does not have leaves its columns empty.
func (r *Reader) exportRows(ctx context.Context, table *csv.Writer, at int, amounts bool, e Exported) error {
	all, err := r.Series(ctx)
	if err != nil {
		return err
	}
	x := rowExport{table: table, columns: map[key]int{}}
	head := []string{"time_utc", "seconds_watched", "clock_sure"}
	for i := range all {
		s := &all[i]
		if amounts && !s.Sum {
			continue
		}
		x.columns[s.key()] = len(head)
		if s.Sum {
			head = append(head, s.Title())
		} else {
			head = append(head, s.Title()+" mean", s.Title()+" lowest", s.Title()+" highest")
		}
	}
	x.line = make([]string, len(head))
	if err := table.Write(head); err != nil {
		return err
	}
	if err := r.rows(ctx, at, e.From.Unix(), e.To.Unix(), x.row); err != nil {
		return fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	return nil
}

type rowExport struct {
	table   *csv.Writer
	columns map[key]int
	line    []string
}

func (x *rowExport) row(r *row) error {
	clear(x.line)
	x.line[0], x.line[1], x.line[2] = utc(time.Unix(r.start, 0)), strconv.FormatInt(r.seconds, 10), yesNo(r.sure)
	for i := range r.cells {
		s, c := &r.series[i], &r.cells[i]
		at, wanted := x.columns[s.key()]
		switch {
		case !wanted:
		case s.Sum:
			x.line[at] = plain(c.amount, s.Steps)
		case c.seconds > 0:
			x.line[at], x.line[at+1], x.line[at+2] = plain(c.mean, s.Steps), plain(c.low, s.Steps), plain(c.high, s.Steps)
		}
	}
	return x.table.Write(x.line)
}

func (r *Reader) exportEvents(ctx context.Context, table *csv.Writer, e Exported) error {
	if err := table.Write([]string{"time_utc", "clock_sure", "event", "system", "part", "level", "rank", "what", "why", "detail"}); err != nil {
		return err
	}
	return r.Events(ctx, WantedEvents{From: e.From, To: e.To}, func(ev *Event) error {
		level := ""
		if ev.Kind == Decided || ev.Kind == OverrideSet || ev.Kind == OverrideEnded {
			level = plain(ev.Level, shareSteps)
		}
		return table.Write([]string{utc(ev.Time), yesNo(ev.Sure), ev.Kind.String(), ev.System, ev.Part, level, ev.Rank, ev.whatText(), ev.Text(), ev.Detail})
	})
}

// whatText is the kind of a finding, what was missed, or the version.
func (e *Event) whatText() string {
	if e.Kind == Missed {
		return strconv.FormatFloat(e.Values[0], 'f', 0, 64) + " " + e.What.Key
	}
	return e.What.Key
}

func utc(t time.Time) string { return t.UTC().Format(time.RFC3339) }

func yesNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

// plain writes a figure with as many decimals as it is kept with.
func plain(v, steps float64) string {
	text := strconv.FormatFloat(v, 'f', max(0, int(math.Round(math.Log10(steps)))), 64)
	if strings.TrimLeft(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-") // no "-0.0"
	}
	return text
}
