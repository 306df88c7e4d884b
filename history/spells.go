package history

import (
	"context"
	"slices"
	"time"
)

// Spell is a finding from when it was raised to when it was cleared, over any
// restarts in between.
type Spell struct {
	Raised Event     // the first time, with what was seen then
	Newest Event     // the last time: every run of the program raises anew what it still finds
	Until  time.Time // when it was cleared, or the run ended after which it was no longer found; zero when it stands at the end
	Sure   bool      // both ends were told by a clock that was trusted
}

// afterStart is how long after its start a run may take to raise what the one
// before had found.
const afterStart = time.Minute

// Spells gives the findings that stood at any time from one instant to before
// another, in the order in which they came. Of one that stood already at the
// first instant, Raised is told by the run of the program that was under way.
func (r *Reader) Spells(ctx context.Context, from, to time.Time) ([]Spell, error) {
	before, err := r.Standing(ctx, from.Add(-time.Second))
	if err != nil {
		return nil, err
	}
	var s spells
	for _, e := range before.Findings {
		s.raise(e)
	}
	err = r.Events(ctx, WantedEvents{From: from, To: to, Kinds: []Kind{Started, Stopped, Raised, Cleared}}, func(e *Event) error {
		s.add(e)
		return nil
	})
	if err == nil && to.Sub(s.started) > afterStart {
		s.allTold()
	}
	return s.list, err
}

// spells are gathered from events.
type spells struct {
	list    []Spell
	started time.Time // of the newest run whose findings may not all be told yet; zero when they are
	ended   time.Time // of the run before that one: its start where nobody saw the end
	stopped time.Time // of the newest run; zero while it goes on
}

func (s *spells) add(e *Event) {
	if e.Time.Sub(s.started) > afterStart || e.Kind == Started {
		s.allTold()
	}
	switch e.Kind {
	case Started:
		s.started, s.ended = e.Time, e.Time
		if !s.stopped.IsZero() {
			s.ended, s.stopped = s.stopped, time.Time{}
		}
	case Stopped:
		s.stopped = e.Time
	case Raised:
		s.raise(*e)
	case Cleared:
		s.end(e.Time, func(open *Spell) bool {
			is := same(&open.Newest, e)
			open.Sure = open.Sure && (e.Sure || !is)
			return is
		})
	}
}

// allTold ends, once a run has raised all that it finds anew, what it has not.
func (s *spells) allTold() {
	if s.started.IsZero() {
		return
	}
	s.end(s.ended, func(open *Spell) bool { return open.Newest.Time.Before(s.started) })
	s.started = time.Time{}
}

func (s *spells) raise(e Event) {
	at := slices.IndexFunc(s.list, func(open Spell) bool { return open.Until.IsZero() && same(&open.Newest, &e) })
	if at < 0 {
		s.list = append(s.list, Spell{Raised: e, Newest: e, Sure: e.Sure})
		return
	}
	s.list[at].Newest = e
}

// end ends the open spells that are meant.
func (s *spells) end(at time.Time, meant func(*Spell) bool) {
	for i := range s.list {
		if open := &s.list[i]; open.Until.IsZero() && meant(open) {
			open.Until = at
		}
	}
}

// same tells of events about the same thing.
func same(a, b *Event) bool {
	return a.System == b.System && a.Part == b.Part && a.What.Key == b.What.Key
}
