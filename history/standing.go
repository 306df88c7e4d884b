package history

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"time"
)

// Standing is what counted at an instant.
type Standing struct {
	Run       time.Time // start of the run of the program that was under way; zero when it is no longer kept
	Decisions []Event   // the newest one of every output
	Overrides []Event   // that were set and had not ended
	Findings  []Event   // that were raised and not cleared, in the order in which they came
}

// Standing tells what counted in the run that was under way at an instant: every run
// tells anew what it finds and decides. A run may last for years, so decisions, which
// come by the hundred a day, are looked for backwards.
func (r *Reader) Standing(ctx context.Context, at time.Time) (*Standing, error) {
	var fresh []Event
	if r.recent != nil {
		_, fresh = r.recent() // before the file is read, so that what is written meanwhile is in one of them
	}
	s, newest, err := r.standing(ctx, at.Unix())
	if err != nil {
		return nil, fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	for i := range fresh {
		if e := &fresh[i]; e.Time.Unix() > newest && e.Time.Unix() <= at.Unix() {
			s.add(e)
		}
	}
	return s, nil
}

// standing is what the file tells of an instant, and when its newest event before
// that was.
func (r *Reader) standing(ctx context.Context, at int64) (s *Standing, newest int64, err error) {
	s = &Standing{}
	names, err := readNames(r.db)
	if err != nil {
		return nil, 0, err
	}
	var run, last sql.NullInt64
	err = r.db.QueryRowContext(ctx, "SELECT (SELECT max(at) FROM events WHERE kind = ?1 AND kind > 1 AND at <= ?2), (SELECT max(at) FROM events WHERE at <= ?2)", Started, at).Scan(&run, &last)
	if err != nil || !last.Valid {
		return s, at - 1<<40, err
	}
	told := at // by when every output had a decision in the run
	if run.Valid {
		s.Run = time.Unix(run.Int64, 0).UTC()
		told = min(at, run.Int64+int64(afterStart/time.Second))
	}
	err = eachRow(ctx, r.db, selectEvents+"at >= ? AND at <= ? AND kind > 1 AND kind IN ("+kindList([]Kind{Raised, Cleared, OverrideSet, OverrideEnded})+") ORDER BY at, n", func(scan func(...any) error) error {
		e, err := scanEvent(scan, names)
		s.add(&e)
		return err
	}, run.Int64, at)
	if err != nil {
		return nil, 0, err
	}
	return s, last.Int64, r.decisions(ctx, s, names, run.Int64, told, at)
}

// decisions adds the newest decision of every output that had one from the start of
// a run until all of them had.
func (r *Reader) decisions(ctx context.Context, s *Standing, names map[int64]Name, run, told, at int64) error {
	type output struct{ system, part sql.NullInt64 }
	var outputs []output
	err := eachRow(ctx, r.db, "SELECT system, part FROM events WHERE at >= ? AND at <= ? AND kind = ? ORDER BY at, n", func(scan func(...any) error) error {
		var o output
		err := scan(&o.system, &o.part)
		if !slices.Contains(outputs, o) {
			outputs = append(outputs, o)
		}
		return err
	}, run, told, Decided)
	if err != nil {
		return err
	}
	for _, o := range outputs {
		err := eachRow(ctx, r.db, selectEvents+"at >= ? AND at <= ? AND kind = ? AND system IS ? AND part IS ? ORDER BY at DESC, n DESC LIMIT 1", func(scan func(...any) error) error {
			e, err := scanEvent(scan, names)
			s.add(&e)
			return err
		}, run, at, Decided, o.system, o.part)
		if err != nil {
			return err
		}
	}
	return nil
}

func (s *Standing) add(e *Event) {
	switch e.Kind {
	case Started: // also one that is not yet written
		*s = Standing{Run: e.Time}
	case Decided:
		s.Decisions = replaced(s.Decisions, e, true)
	case OverrideSet, OverrideEnded:
		s.Overrides = replaced(s.Overrides, e, e.Kind == OverrideSet)
	case Raised, Cleared:
		s.Findings = replaced(s.Findings, e, e.Kind == Raised)
	}
}

// replaced puts an event in the place of the one about the same thing, or takes
// that one out.
func replaced(list []Event, e *Event, stays bool) []Event {
	at := slices.IndexFunc(list, func(o Event) bool { return same(&o, e) })
	switch {
	case at < 0 && stays:
		return append(list, *e)
	case at < 0:
		return list
	case stays:
		list[at] = *e
		return list
	}
	return slices.Delete(list, at, at+1)
}
