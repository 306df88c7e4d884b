package history

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"time"
)

// Moment is the finest row that the history has over an instant.
type Moment struct {
	Start   time.Time     // of the row, UTC
	Span    time.Duration // of the row: a minute, and more where minutes are no longer kept
	Watched time.Duration // of it, in which the program ran
	Sure    bool          // the clock was trusted
	Figures []Figure
}

// Figure is one series over the span of a moment.
type Figure struct {
	Series
	Known           time.Duration // for which there was a value; 0 says that there was none
	Mean, Low, High float64       // of a series that is no sum
	Amount          float64       // of one that is
}

// Moment gives what is kept of an instant, or nil when nothing was watched then.
// Where there are finer rows beside the instant and none over it, the program did
// not run, and a coarser row would tell of another time.
func (r *Reader) Moment(ctx context.Context, at time.Time) (*Moment, error) {
	if err := r.refresh(ctx); err != nil {
		return nil, err
	}
	m, err := r.moment(ctx, at.Unix())
	if err != nil {
		return nil, fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	return m, nil
}

func (r *Reader) moment(ctx context.Context, at int64) (found *Moment, err error) {
	fresh := r.unwritten()
	for i := range fresh {
		if fresh[i].start == floorTo(at, tiers[minuteTier].span) {
			return momentOf(&fresh[i], tiers[minuteTier].span), nil
		}
	}
	for i, t := range tiers {
		start := floorTo(at, t.span)
		if i > minuteTier {
			if finer, err := r.begins(ctx, i-1, start, start+t.span); err != nil || finer {
				return nil, err
			}
		}
		err := r.rows(ctx, i, start, start+1, func(w *row) error {
			found = momentOf(w, t.span)
			return nil
		})
		if err != nil || found != nil {
			return found, err
		}
	}
	return nil, nil
}

// begins tells whether a row of a tier begins between two instants.
func (r *Reader) begins(ctx context.Context, at int, from, to int64) (bool, error) {
	var is bool
	err := r.db.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM "+tiers[at].table+" WHERE start >= ? AND start < ?)", from, to).Scan(&is)
	return is, err
}

func momentOf(w *row, span int64) *Moment {
	m := &Moment{Start: time.Unix(w.start, 0).UTC(), Span: seconds(span), Watched: seconds(w.seconds), Sure: w.sure}
	for i := range w.series {
		c := &w.cells[i]
		m.Figures = append(m.Figures, Figure{Series: w.series[i], Known: seconds(c.seconds), Mean: c.mean, Low: c.low, High: c.high, Amount: c.amount})
	}
	return m
}

func seconds(n int64) time.Duration { return time.Duration(n) * time.Second }

// Beside gives the end of what was watched last before an instant at which
// nothing was, and the start of what was watched first after it; zero where there
// is nothing. Where minutes are no longer kept it is right to a quarter of an hour.
func (r *Reader) Beside(ctx context.Context, at time.Time) (before, after time.Time, err error) {
	var ends, starts [2]sql.NullInt64
	for i, t := range tiers[:quarterTier+1] {
		err := r.db.QueryRowContext(ctx, "SELECT (SELECT max(start) + ?1 FROM "+t.table+" WHERE start <= ?2 - ?1), (SELECT min(start) FROM "+t.table+" WHERE start > ?2)", t.span, at.Unix()).
			Scan(&ends[i], &starts[i])
		if err != nil {
			return before, after, fmt.Errorf("%s: %s", r.path, inWords(err))
		}
	}
	// A quarter of an hour may have been watched in part; its minutes know better.
	quarter := tiers[quarterTier].span
	before = better(ends[minuteTier], ends[quarterTier], func(minute, coarse int64) bool { return minute > coarse-quarter })
	after = better(starts[minuteTier], starts[quarterTier], func(minute, coarse int64) bool { return minute < coarse+quarter })
	return before, after, nil
}

// better is the instant that minutes tell, or else that of coarser rows.
func better(minute, coarse sql.NullInt64, knows func(minute, coarse int64) bool) time.Time {
	switch {
	case minute.Valid && (!coarse.Valid || knows(minute.Int64, coarse.Int64)):
		return time.Unix(minute.Int64, 0).UTC()
	case coarse.Valid:
		return time.Unix(coarse.Int64, 0).UTC()
	}
	return time.Time{}
}

// Oldest is the start of the oldest row, zero when there is none.
func (r *Reader) Oldest(ctx context.Context) (oldest time.Time, err error) {
	var starts []int64
	for _, w := range r.unwritten() {
		starts = append(starts, w.start)
	}
	for _, t := range tiers {
		var start sql.NullInt64
		if err := r.db.QueryRowContext(ctx, "SELECT min(start) FROM "+t.table).Scan(&start); err != nil {
			return time.Time{}, fmt.Errorf("%s: %s", r.path, inWords(err))
		}
		if start.Valid {
			starts = append(starts, start.Int64)
		}
	}
	if len(starts) == 0 {
		return time.Time{}, nil
	}
	return time.Unix(slices.Min(starts), 0).UTC(), nil
}

// Newest is the start of the newest minute, zero when there is none.
func (r *Reader) Newest(ctx context.Context) (time.Time, error) {
	var starts []int64
	for _, w := range r.unwritten() {
		starts = append(starts, w.start)
	}
	var start sql.NullInt64
	if err := r.db.QueryRowContext(ctx, "SELECT max(start) FROM "+tiers[minuteTier].table).Scan(&start); err != nil {
		return time.Time{}, fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	if start.Valid {
		starts = append(starts, start.Int64)
	}
	if len(starts) == 0 {
		return time.Time{}, nil
	}
	return time.Unix(slices.Max(starts), 0).UTC(), nil
}
