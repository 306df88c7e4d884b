package letter

import (
	"context"
	"errors"
	"io"

	"sunstoker/history"
	"sunstoker/planner/handover"
	"sunstoker/planner/paper"
	"sunstoker/site"
)

// Options are what a person asks of a letter.
type Options struct {
	Year   int    // 0 for the newest in the history
	Report string // HTML file to write; empty for none
	// Handed are the dates of the plant's hand-over.
	Handed handover.Dates
}

// Write writes the letter of a site as plain text, and as a page to print where
// that is asked for, which is written whole or not at all.
func Write(ctx context.Context, s *site.Site, o Options, to io.Writer) (err error) {
	r, err := history.Open(s.History.Folder)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	l, err := Read(ctx, r, s, o.Year)
	if err != nil {
		return err
	}
	l.handed = o.Handed
	if o.Report == "" {
		return l.WritePlain(to)
	}
	files, err := paper.OpenFiles(o.Report)
	if err != nil {
		return err
	}
	defer files.Discard()
	if err := files.Write(o.Report, l.WriteHTML); err != nil {
		return err
	}
	return l.WritePlain(to)
}
