package explain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"time"

	"sunstoker/history"
	"sunstoker/site"
)

// Question is what a person wants explained.
type Question struct {
	Site string // file; or a finding or setting where nothing else is asked for
	Name string // of a finding or setting; empty for a minute of the history
	At   string // the minute; empty for the newest one

	// Saved gives a site with the changes that people have made of its settings.
	Saved func(*site.Site) (*site.Site, error)
}

// Misasked is the error of a question that makes no sense. Its text says what to
// ask instead.
type Misasked struct{ text string }

// Error is the text.
func (m *Misasked) Error() string { return m.text }

func misasked(format string, args ...any) error { return &Misasked{fmt.Sprintf(format, args...)} }

// Answer writes the answer to a question.
func Answer(ctx context.Context, q Question, to io.Writer) error {
	if q.Site == "" {
		return misasked("explain wants to know what: a site file for a minute of its history, or the name of a finding or setting")
	}
	if q.Name == "" {
		name, unknown := Find(q.Site)
		switch {
		case unknown == nil && q.At != "":
			return misasked("--at needs the site file before the name")
		case unknown == nil:
			return q.named(ctx, name, nil, to)
		case !exists(q.Site):
			return misasked("there is no site file %s, and %v; --names lists them", q.Site, unknown)
		}
	}
	s, err := site.Load(q.Site)
	if err != nil {
		return err
	}
	if q.Name == "" {
		return q.minute(ctx, s, to)
	}
	name, err := Find(q.Name)
	if err != nil {
		return misasked("%v; --names lists them", err)
	}
	return q.named(ctx, name, s, to)
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// minute explains the minute that is asked for: both of them where clocks went
// back.
func (q *Question) minute(ctx context.Context, s *site.Site, to io.Writer) (err error) {
	at, err := q.instants(s)
	if err != nil {
		return err
	}
	r, err := history.Open(s.History.Folder)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	if len(at) == 0 {
		newest, err := Newest(ctx, r)
		if err != nil {
			return err
		}
		at = []time.Time{newest}
		fmt.Fprintln(to, "The newest minute that is written, which is done once in ten minutes:")
	}
	for i := range at {
		if i > 0 {
			fmt.Fprintln(to)
		}
		if err := Minute(ctx, r, s, at[i], to); err != nil {
			return err
		}
	}
	return nil
}

// instants are those of the minute that is asked for; none for the newest.
func (q *Question) instants(s *site.Site) ([]time.Time, error) {
	if q.At == "" {
		return nil, nil
	}
	at, err := Instants(q.At, s.Zone)
	if err != nil {
		return nil, misasked("--at: %v", err)
	}
	return at, nil
}

// named explains a finding or a setting, in a site if there is one.
func (q *Question) named(ctx context.Context, n Name, s *site.Site, to io.Writer) (err error) {
	switch {
	case n.setting != nil && s == nil:
		return Setting(n, nil, to)
	case n.setting != nil:
		now, unknown := q.Saved(s)
		return Setting(n, &Present{File: s, Now: now, Unknown: unknown}, to)
	case s == nil:
		return Finding(ctx, n, nil, nil, nil, to)
	}
	at, err := q.instants(s)
	if err != nil {
		return err
	}
	r, none := history.Open(s.History.Folder)
	if none != nil {
		return Finding(ctx, n, s, nil, none, to)
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	past := &Past{Reader: r}
	if len(at) > 0 {
		past.Until = at[len(at)-1].Add(time.Minute)
	}
	return Finding(ctx, n, s, past, nil, to)
}
