package history

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// store writes to one open file. One goroutine uses it.
type store struct {
	db       *sql.DB
	conn     *sql.Conn // the only one
	prepared map[string]*sql.Stmt
	packed   []byte

	layouts  layouts
	layoutOf map[string]int64 // number of a layout by its text
	names    map[Name]int64
	series   []Series // of the layout that was used last
	layout   int64
	open     [len(tiers)]int64 // per tier, the start of the span that is not yet made of the finer ones
	trimmed  int64             // Unix day of the last trim
}

// noSpan stands in store.open when there is no span to make.
const noSpan = -1 << 62

// openStore opens or makes a file, and takes up what an earlier run left undone.
func openStore(path, query string) (*store, error) {
	db, err := openForWriting(path, query)
	if err != nil {
		return nil, err
	}
	conn, err := db.Conn(context.Background())
	if err != nil {
		return nil, errors.Join(err, db.Close())
	}
	s := &store{db: db, conn: conn, prepared: map[string]*sql.Stmt{}}
	if err := s.takeUp(); err != nil {
		return nil, errors.Join(err, s.close())
	}
	return s, nil
}

func (s *store) close() error {
	var errs []error
	for _, stmt := range s.prepared {
		errs = append(errs, stmt.Close())
	}
	return errors.Join(append(errs, s.conn.Close(), s.db.Close())...)
}

// takeUp reads the dictionaries and finds the spans that were under way.
func (s *store) takeUp() error {
	s.series, s.layoutOf, s.names = nil, map[string]int64{}, map[Name]int64{}
	var err error
	if s.layouts, err = readLayouts(s.conn); err != nil {
		return err
	}
	for id, series := range s.layouts {
		text, err := json.Marshal(series)
		if err != nil {
			return err
		}
		s.layoutOf[string(text)] = id
	}
	names, err := readNames(s.conn)
	if err != nil {
		return err
	}
	for id, n := range names {
		s.names[n] = id
	}
	s.open[minuteTier] = noSpan
	for i := range tiers[:dayTier] {
		var newest sql.NullInt64
		if err := s.conn.QueryRowContext(context.Background(), "SELECT max(start) FROM "+tiers[i].table).Scan(&newest); err != nil {
			return err
		}
		s.open[i+1] = noSpan
		if newest.Valid {
			s.open[i+1] = floorTo(newest.Int64, tiers[i+1].span)
		}
	}
	return nil
}

// checkQuickly looks whether the pages of the file hang together.
func (s *store) checkQuickly() error {
	var found string
	if err := s.conn.QueryRowContext(context.Background(), "PRAGMA quick_check(1)").Scan(&found); err != nil {
		return err
	}
	if found != "ok" {
		return fmt.Errorf("%w: %s", errDamaged, found)
	}
	return nil
}

// write puts minutes and their events into the file, all of them or none.
func (s *store) write(minutes []*minute, keep limits) error {
	return s.transaction(func() error {
		for _, m := range minutes {
			if err := s.minute(m); err != nil {
				return err
			}
		}
		return s.trim(minutes[len(minutes)-1], keep)
	})
}

// transaction does something in the file, or nothing at all. After an error the
// store can only be closed, which undoes what was begun: what it remembers of the
// file has run ahead of it.
func (s *store) transaction(do func() error) error {
	if _, err := s.exec("BEGIN IMMEDIATE"); err != nil {
		return err
	}
	if err := do(); err != nil {
		return err
	}
	_, err := s.exec("COMMIT")
	return err
}

func (s *store) minute(m *minute) error {
	r := m.row
	r.start, r.sure = m.start(), m.trusted
	if err := s.put(minuteTier, &r); err != nil {
		return err
	}
	for i := range m.events {
		if err := s.event(m.event(i)); err != nil {
			return err
		}
	}
	return nil
}

// put writes a row of a tier, and makes the rows of the coarser ones that it
// ends. Where there is a row already, the one that can be dated wins, then the
// one that saw more of its time, then the newer one.
func (s *store) put(at int, r *row) error {
	layout, err := s.layoutFor(r.series)
	if err != nil {
		return err
	}
	s.packed = r.encode(s.packed[:0])
	_, err = s.exec(`INSERT INTO `+tiers[at].table+` (start, seconds, sure, layout, cells) VALUES (?1, ?2, ?3, ?4, ?5)
		ON CONFLICT (start) DO UPDATE SET seconds = ?2, sure = ?3, layout = ?4, cells = ?5
		WHERE ?3 > sure OR (?3 = sure AND ?2 >= seconds)`, r.start, r.seconds, r.sure, layout, s.packed)
	if err != nil || at+1 == len(tiers) {
		return err
	}
	span := floorTo(r.start, tiers[at+1].span)
	if s.open[at+1] == span {
		return nil
	}
	ended := s.open[at+1]
	s.open[at+1] = span
	if ended == noSpan {
		return nil
	}
	return s.fold(at+1, ended)
}

// fold makes a row of a tier out of those of the finer one.
func (s *store) fold(at int, start int64) error {
	finer := &tiers[at-1]
	stmt, err := s.statement(rowsQuery(finer.table))
	if err != nil {
		return err
	}
	rows, err := readRows(context.Background(), stmt, s.layouts, start, start+tiers[at].span)
	if err != nil || len(rows) == 0 {
		return err
	}
	r := merge(start, rows)
	return s.put(at, &r)
}

// event writes one event, at the second it happened in.
func (s *store) event(e Event) error {
	var ids [5]any
	for i, n := range [...]Name{{e.System, ""}, {e.Part, ""}, {e.Rank, ""}, e.What, e.Says} {
		if n == (Name{}) {
			continue
		}
		id, err := s.nameOf(n)
		if err != nil {
			return err
		}
		ids[i] = id
	}
	var detail any
	if e.Detail != "" {
		detail = cut(e.Detail, mostDetail)
	}
	_, err := s.exec(`INSERT INTO events (at, n, kind, sure, system, part, rank, what, says, level, a, b, c, detail)
		VALUES (?1, (SELECT coalesce(max(n) + 1, 0) FROM events WHERE at = ?1), ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13)`,
		e.Time.Unix(), e.Kind, e.Sure, ids[0], ids[1], ids[2], ids[3], ids[4], levelSteps(e.Level),
		packedValue(e.Values[0]), packedValue(e.Values[1]), packedValue(e.Values[2]), detail)
	return err
}

// mostDetail is how many bytes are kept of a driver's words.
const mostDetail = 200

func cut(text string, most int) string {
	if len(text) <= most {
		return text
	}
	for most > 0 && text[most]&0xc0 == 0x80 {
		most--
	}
	return text[:most] + "…"
}

func (s *store) layoutFor(series []Series) (int64, error) {
	if len(series) > 0 && sameSlice(s.series, series) {
		return s.layout, nil
	}
	text, err := json.Marshal(series)
	if err != nil {
		return 0, err
	}
	id, known := s.layoutOf[string(text)]
	if !known {
		done, err := s.exec("INSERT INTO layouts (series) VALUES (?)", string(text))
		if err != nil {
			return 0, err
		}
		if id, err = done.LastInsertId(); err != nil {
			return 0, err
		}
		s.layoutOf[string(text)], s.layouts[id] = id, series
	}
	s.series, s.layout = series, id
	return id, nil
}

func (s *store) nameOf(n Name) (int64, error) {
	if id, known := s.names[n]; known {
		return id, nil
	}
	done, err := s.exec("INSERT INTO names (name, words) VALUES (?, ?)", n.Key, n.Words)
	if err != nil {
		return 0, err
	}
	id, err := done.LastInsertId()
	s.names[n] = id
	return id, err
}

func (s *store) exec(query string, args ...any) (sql.Result, error) {
	stmt, err := s.statement(query)
	if err != nil {
		return nil, err
	}
	return stmt.Exec(args...)
}

// statement prepares a query once.
func (s *store) statement(query string) (*sql.Stmt, error) {
	if stmt, is := s.prepared[query]; is {
		return stmt, nil
	}
	stmt, err := s.conn.PrepareContext(context.Background(), query)
	if err == nil {
		s.prepared[query] = stmt
	}
	return stmt, err
}

// limits are how long things are kept, in seconds.
type limits struct{ minutes, all int64 }

func limitsOf(minutesFor, allFor time.Duration) limits {
	return limits{int64(minutesFor / time.Second), int64(allFor / time.Second)}
}

// mostTrimmed is how many days of too old rows are dropped in a day. A clock that
// is trusted and wrong by years can so cost a few days at most.
const mostTrimmed = 2

// trim drops once a day what is too old.
func (s *store) trim(newest *minute, keep limits) error {
	now := newest.start()
	day := now / 86400
	if !newest.trusted || day == s.trimmed {
		return nil
	}
	s.trimmed = day
	for _, t := range tiers {
		limit := keep.all
		if t.span == tiers[minuteTier].span {
			limit = min(keep.minutes, keep.all)
		}
		if err := s.drop(t.table, "start", now-limit, mostTrimmed*86400/t.span); err != nil {
			return err
		}
	}
	return s.drop("events", "at", now-keep.all, mostTrimmedEvents)
}

const mostTrimmedEvents = 2000

// drop deletes the oldest rows of a table that are older than an instant.
func (s *store) drop(table, column string, before, most int64) error {
	_, err := s.exec("DELETE FROM "+table+" WHERE "+column+" < ?1 AND "+column+" <= (SELECT max("+column+") FROM (SELECT "+column+" FROM "+table+" ORDER BY "+column+" LIMIT ?2))", before, most)
	return err
}
