package history

import (
	"context"
	"database/sql"
	"fmt"
	"slices"
	"strings"
	"time"
)

// WantedEvents says which events are wanted.
type WantedEvents struct {
	From, To time.Time
	Kinds    []Kind // all when empty
	Most     int    // that many at most, the oldest of them; 0 for all
}

// wants tells whether an event is among those that are wanted.
func (w *WantedEvents) wants(e *Event) bool {
	return e.Time.Unix() >= w.From.Unix() && e.Time.Unix() < w.To.Unix() && (len(w.Kinds) == 0 || slices.Contains(w.Kinds, e.Kind))
}

// Events hands over events in the order of time, those that are not yet written
// behind those that are.
func (r *Reader) Events(ctx context.Context, w WantedEvents, do func(*Event) error) error {
	var fresh []Event
	if r.recent != nil {
		_, fresh = r.recent() // before the file is read, so that what is written meanwhile is in one of them
	}
	names, err := readNames(r.db)
	if err != nil {
		return fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	query := selectEvents + "at >= ? AND at < ?"
	if len(w.Kinds) > 0 {
		query += " AND kind IN (" + kindList(w.Kinds) + ")"
		if !slices.Contains(w.Kinds, Decided) {
			query += " AND kind > 1" // lets SQLite use the index
		}
	}
	query += " ORDER BY at, n LIMIT ?"
	most := w.Most
	if most <= 0 {
		most = -1
	}
	var newest time.Time
	err = eachRow(ctx, r.db, query, func(scan func(...any) error) error {
		e, err := scanEvent(scan, names)
		if err != nil {
			return err
		}
		newest = e.Time
		most--
		return do(&e)
	}, w.From.Unix(), w.To.Unix(), most)
	if err != nil {
		return fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	for i := range fresh {
		if e := &fresh[i]; most != 0 && e.Time.After(newest) && w.wants(e) {
			most--
			if err := do(e); err != nil {
				return err
			}
		}
	}
	return nil
}

// selectEvents begins a query that [scanEvent] reads.
const selectEvents = "SELECT at, kind, sure, system, part, rank, what, says, level, a, b, c, detail FROM events WHERE "

// kindList writes kinds into a query.
func kindList(kinds []Kind) string {
	var list []string
	for _, k := range kinds {
		list = append(list, fmt.Sprint(uint8(k)))
	}
	return strings.Join(list, ", ")
}

func scanEvent(scan func(...any) error, names map[int64]Name) (Event, error) {
	var e Event
	var at, level int64
	var values [3]int64
	var system, part, rank, what, says sql.NullInt64
	var detail sql.NullString
	if err := scan(&at, &e.Kind, &e.Sure, &system, &part, &rank, &what, &says, &level, &values[0], &values[1], &values[2], &detail); err != nil {
		return e, err
	}
	e.Time = time.Unix(at, 0).UTC()
	e.System, e.Part, e.Rank = names[system.Int64].Key, names[part.Int64].Key, names[rank.Int64].Key
	e.What, e.Says, e.Detail = names[what.Int64], names[says.Int64], detail.String
	e.Level = float64(level) / shareSteps
	for i, v := range values {
		e.Values[i] = float64(v) / valueSteps
	}
	return e, nil
}
