package history

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"

	codes "modernc.org/sqlite/lib"
)

// Reader reads a history, also while it is being written. It is safe for
// concurrent use. Once the file was set aside it has to be opened anew.
type Reader struct {
	db     *sql.DB
	path   string
	recent func() ([]row, []Event) // what is not written yet, in the order of time; nil for none

	mu      sync.Mutex
	layouts layouts // is replaced, never changed
}

// unwritten are the rows that are not written yet, in the order of time.
func (r *Reader) unwritten() []row {
	if r.recent == nil {
		return nil
	}
	rows, _ := r.recent()
	return rows
}

// lists are the lists of series as of now.
func (r *Reader) lists() layouts {
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.layouts
}

// newestFirst are the lists of series, the newest first.
func (r *Reader) newestFirst() [][]Series {
	all := r.lists()
	var out [][]Series
	for _, id := range slices.Backward(slices.Sorted(maps.Keys(all))) {
		out = append(out, all[id])
	}
	return out
}

// ErrNone says that there is no history yet.
var ErrNone = errors.New("there is no history yet: it is begun some minutes after the first start of the program")

// Open opens the history of a folder for reading.
func Open(folder string) (*Reader, error) {
	path := filepath.Join(folder, FileName)
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: %w", path, ErrNone)
	} else if err != nil {
		return nil, err
	}
	r, err := open(path, "mode=ro&_pragma=busy_timeout(5000)")
	if primary(err) == codes.SQLITE_CANTOPEN && !exists(path+"-wal") {
		// Whoever may not write to the folder can't take part in the locking; nor does
		// anybody write while there is no log beside the file.
		r, err = open(path, "mode=ro&immutable=1")
	}
	if errors.Is(err, errEmpty) {
		return nil, fmt.Errorf("%s: %w", path, ErrNone)
	}
	if err != nil {
		return nil, fmt.Errorf("%s: %s", path, inWords(err))
	}
	return r, nil
}

func open(path, query string) (*Reader, error) {
	db, err := sql.Open("sqlite", dsn(path, query))
	if err != nil {
		return nil, err
	}
	r := &Reader{db: db, path: path}
	if err := r.begin(); err != nil {
		return nil, errors.Join(err, db.Close())
	}
	return r, nil
}

func (r *Reader) begin() error {
	version, err := formOf(r.db)
	if err != nil {
		return err
	}
	if version == 0 {
		return errEmpty
	}
	r.layouts, err = readLayouts(r.db)
	return err
}

var errEmpty = errors.New("nothing was written to it yet")

// Close gives the file back.
func (r *Reader) Close() error { return r.db.Close() }

// scan goes through the rows from one Unix second to before another, in a tier and
// where that has none, in its neighbours: before its first row in coarser ones,
// which are kept longer, behind its last one in finer ones, which a coarser row is
// made of only when its time is over, and last in what is not written yet.
func (r *Reader) scan(ctx context.Context, at int, from, to int64, do func(*row) error) error {
	s := scan{ctx: ctx, r: r, to: to, do: do}
	if r.recent != nil {
		s.fresh, _ = r.recent() // before the file is read, so that what is written meanwhile is in one of them
	}
	end, err := s.upTo(at, from, to)
	if err != nil {
		return err
	}
	for finer := at - 1; finer >= 0; finer-- {
		if end, err = s.tier(finer, end, to); err != nil {
			return err
		}
	}
	for i := range s.fresh {
		if w := &s.fresh[i]; w.start >= end && w.start < to {
			if err := do(w); err != nil {
				return err
			}
		}
	}
	return nil
}

type scan struct {
	ctx   context.Context
	r     *Reader
	to    int64
	fresh []row
	do    func(*row) error
}

// upTo goes through the rows of a tier, with those of coarser ones before the
// first, and gives the second at which the last one ends.
func (s *scan) upTo(at int, from, to int64) (end int64, err error) {
	to = floorTo(to-1, tiers[at].span) + tiers[at].span
	first, err := s.first(at, from, to)
	if err != nil {
		return 0, err
	}
	if before := floorTo(first, tiers[min(at+1, dayTier)].span); at < dayTier && before > from {
		if from, err = s.upTo(at+1, from, before); err != nil {
			return 0, err
		}
	}
	return s.tier(at, from, to)
}

// first is the start of the first row of a tier between two instants, and the
// second of them when there is none.
func (s *scan) first(at int, from, to int64) (int64, error) {
	var found sql.NullInt64
	err := s.r.db.QueryRowContext(s.ctx, "SELECT min(start) FROM "+tiers[at].table+" WHERE start >= ? AND start < ?", from, to).Scan(&found)
	if err != nil || !found.Valid {
		return to, err
	}
	return found.Int64, nil
}

// tier goes through the rows of one tier, and gives the second at which the last
// one ends; from when there is none.
func (s *scan) tier(at int, from, to int64) (end int64, err error) {
	end = from
	err = s.r.rows(s.ctx, at, from, min(to, s.to), func(r *row) error {
		end = r.start + tiers[at].span
		return s.do(r)
	})
	return end, err
}

func (r *Reader) rows(ctx context.Context, at int, from, to int64, do func(*row) error) error {
	if from >= to {
		return nil
	}
	stmt, err := r.db.PrepareContext(ctx, rowsQuery(tiers[at].table))
	if err != nil {
		return err
	}
	return errors.Join(scanRows(ctx, stmt, r.lists(), from, to, do), stmt.Close())
}
