package main

import (
	"errors"
	"fmt"
	"log/slog"
	"os"
	"time"

	"sunstoker/control"
	"sunstoker/history"
	"sunstoker/site"
	"sunstoker/station"
)

// keptHistory is the history of a site; nil when none is kept.
func keptHistory(s *site.Site, log *slog.Logger) *history.History {
	if !s.History.Kept {
		return nil
	}
	return history.New(history.Options{Folder: s.History.Folder, MinutesFor: s.History.MinutesFor, AllFor: s.History.AllFor, Log: log})
}

// keep lets a station's ticks be written down.
func keep(kept *history.History, o *station.BuildOptions) {
	if kept == nil {
		return
	}
	o.Watchers = append(o.Watchers, kept)
	o.Services = append(o.Services, station.Service{Name: "the history", Run: kept.Run})
	o.Unwritten = kept.Trouble
}

type historyCommand struct {
	Export historyExport `cmd:"" help:"Write what happened as CSV, to read in a spreadsheet."`
	Check  historyCheck  `cmd:"" help:"Look through the history: what it holds, what is missing, what is damaged."`
	Shrink historyShrink `cmd:"" help:"Drop the oldest part of the history."`
}

type historyExport struct {
	Site string   `arg:"" help:"The site file."`
	What string   `enum:"minutes,quarter-hours,energy,events" default:"quarter-hours" help:"minutes, quarter-hours, energy (heat and electricity by the hour) or events."`
	From dayText  `placeholder:"2026-06-01" help:"First day or instant, by the site's time or as 2026-06-01T10:00:00Z; the beginning when not given."`
	To   dayText  `placeholder:"2026-07-01" help:"Day or instant before which it ends; all of it when not given."`
	Out  fileName `placeholder:"NEW.csv" help:"Write to this new file; to standard output when not given."`
}

// Run exports.
func (c *historyExport) Run(in *surroundings) (err error) {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	e := history.Exported{What: c.What}
	if e.From, err = c.From.in(s.Zone, time.Unix(0, 0)); err == nil {
		e.To, err = c.To.in(s.Zone, time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC))
	}
	if err != nil {
		return &usageError{err.Error()}
	}
	r, err := history.Open(s.History.Folder)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	if c.Out == "" {
		return r.Export(in.ctx, in.stdout, e)
	}
	file, err := os.OpenFile(string(c.Out), os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return fmt.Errorf("the new file can't be written: %w", err)
	}
	return errors.Join(r.Export(in.ctx, file, e), file.Close())
}

type historyCheck struct {
	Site string `arg:"" help:"The site file."`
}

// Run looks through a history.
func (c *historyCheck) Run(in *surroundings) error {
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	return history.Check(in.ctx, s.History.Folder, time.Now(), s.Zone, in.stdout)
}

type historyShrink struct {
	Site        string   `arg:"" help:"The site file."`
	KeepMinutes spanText `placeholder:"'30 d'" help:"Drop minutes that are older than this."`
	KeepAll     spanText `placeholder:"'1000 d'" help:"Drop everything that is older than this."`
	To          sizeText `placeholder:"'50 MB'" help:"Drop the oldest until the file is no larger; a week of minutes and a year of the rest stay."`
}

// Run makes a history smaller.
func (c *historyShrink) Run(in *surroundings) error {
	if c.KeepMinutes == 0 && c.KeepAll == 0 && c.To == 0 {
		return &usageError{"history shrink wants to know how far: --keep-minutes, --keep-all or --to"}
	}
	s, err := site.Load(c.Site)
	if err != nil {
		return err
	}
	before, after, err := history.Shrink(in.ctx, s.History.Folder, history.Shrunk{MinutesFor: time.Duration(c.KeepMinutes), AllFor: time.Duration(c.KeepAll), Bytes: int64(c.To)})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(in.stdout, "from %.1f MB to %.1f MB\n", float64(before)/1e6, float64(after)/1e6)
	return err
}

// spanText is a span of days, such as 30 d.
type spanText time.Duration

// UnmarshalText reads a flag.
func (t *spanText) UnmarshalText(text []byte) error {
	seconds, err := control.Second.Parse(string(text))
	if err != nil || !(seconds >= 3600 && seconds <= 36525*86400) {
		return fmt.Errorf("%q is no span of an hour to 36525 days; write such as '30 d'", text)
	}
	*t = spanText(seconds * float64(time.Second))
	return nil
}

// sizeText is a size in bytes, written such as 50 MB.
type sizeText int64

// UnmarshalText reads a flag.
func (t *sizeText) UnmarshalText(text []byte) error {
	var n float64
	var unit string
	if found, err := fmt.Sscanf(string(text)+" ", "%f %s", &n, &unit); found != 2 || err != nil || !(n >= 0.1 && n <= 1e6) || unit != "MB" && unit != "GB" {
		return fmt.Errorf("%q is no size; write such as '50 MB' or '1 GB'", text)
	}
	if unit == "GB" {
		n *= 1000
	}
	*t = sizeText(n * 1e6)
	return nil
}

// dayText is a day or an instant; empty when it is not given.
type dayText string

// in gives the instant, in a zone's civil time when it is a day.
func (t dayText) in(zone *time.Location, otherwise time.Time) (time.Time, error) {
	if t == "" {
		return otherwise, nil
	}
	if at, err := time.ParseInLocation(time.DateOnly, string(t), zone); err == nil {
		return at, nil
	}
	if at, err := time.Parse(time.RFC3339, string(t)); err == nil {
		return at, nil
	}
	return time.Time{}, fmt.Errorf("%q is neither a day nor an instant; write such as 2026-06-01 or 2026-06-01T10:00:00Z", string(t))
}
