package history

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"
)

// Shrunk says how a history is made smaller. What is 0 is left alone.
type Shrunk struct {
	MinutesFor time.Duration // drop minutes that are older
	AllFor     time.Duration // drop all that is older
	Bytes      int64         // then drop the oldest until the file is no larger
}

// What shrinking by size leaves in any case.
const (
	leastMinutes = 7 * 86400
	leastAll     = 366 * 86400
)

// Shrink makes the history of a folder smaller, also while a program writes it.
// Ages count from the newest minute. It gives the size of before and of after in
// bytes.
func Shrink(ctx context.Context, folder string, s Shrunk) (before, after int64, err error) {
	path := filepath.Join(folder, FileName)
	if !exists(path) {
		return 0, 0, fmt.Errorf("%s: %w", path, ErrNone)
	}
	file, err := openStore(path, "mode=rw")
	if err != nil {
		return 0, 0, fmt.Errorf("%s: %s", path, inWords(err))
	}
	before, err = file.size()
	if err == nil {
		err = file.shrink(ctx, s)
	}
	if err == nil {
		after, err = file.size()
	}
	if err = errors.Join(err, file.close()); err != nil {
		return before, after, fmt.Errorf("%s: %s", path, inWords(err))
	}
	if s.Bytes > 0 && after > s.Bytes {
		return before, after, fmt.Errorf("%s: it still has %.1f MB, and what is left is the last week of minutes and the last year of the rest: take another size, or less of them with --keep-minutes and --keep-all", path, float64(after)/1e6)
	}
	return before, after, nil
}

func (s *store) shrink(ctx context.Context, by Shrunk) error {
	newest, err := s.number("SELECT max((SELECT coalesce(max(start), 0) FROM minutes), (SELECT coalesce(max(start), 0) FROM quarter_hours))")
	if err != nil {
		return err
	}
	if by.AllFor > 0 {
		if err := s.dropBefore(ctx, newest-int64(by.AllFor/time.Second), true); err != nil {
			return err
		}
	}
	if by.MinutesFor > 0 {
		if err := s.dropBefore(ctx, newest-int64(by.MinutesFor/time.Second), false); err != nil {
			return err
		}
	}
	if by.Bytes <= 0 {
		return nil
	}
	return s.dropTo(ctx, by.Bytes, newest)
}

// dropTo drops the oldest day of minutes, or the oldest month of all,
// until the file is small enough or the least is left.
func (s *store) dropTo(ctx context.Context, bytes, newest int64) error {
	const day, month = 86400, 30 * 86400
	for {
		size, err := s.size()
		if err != nil || size <= bytes {
			return err
		}
		minutes, err := s.number("SELECT coalesce(min(start), ?) FROM minutes", newest)
		if err != nil {
			return err
		}
		all, err := s.number("SELECT coalesce(min(start), ?) FROM quarter_hours", newest)
		if err != nil {
			return err
		}
		switch {
		case minutes < newest-leastMinutes:
			err = s.dropBefore(ctx, min(minutes+day, newest-leastMinutes), false)
		case all < newest-leastAll:
			err = s.dropBefore(ctx, min(all+month, newest-leastAll), true)
		default:
			return nil
		}
		if err != nil {
			return err
		}
	}
}

// mostAtOnce is how many rows one transaction of shrinking drops: the program that
// writes meanwhile gets its turn, and the log stays small.
const mostAtOnce = 20_000

// dropBefore drops minutes, or all there is, before an instant, and gives the room
// back.
func (s *store) dropBefore(ctx context.Context, before int64, all bool) error {
	tables := map[string]string{"minutes": "start"}
	if all {
		tables = map[string]string{"minutes": "start", "quarter_hours": "start", "hours": "start", "days": "start", "events": "at"}
	}
	for table, column := range tables {
		if err := s.dropAll(ctx, table, column, before); err != nil {
			return err
		}
	}
	return nil
}

func (s *store) dropAll(ctx context.Context, table, column string, before int64) error {
	for {
		left, err := s.number("SELECT count(*) FROM (SELECT 1 FROM "+table+" WHERE "+column+" < ? LIMIT 1)", before)
		if err != nil || left == 0 {
			return err
		}
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := s.transaction(func() error { return s.drop(table, column, before, mostAtOnce) }); err != nil {
			return err
		}
		if err := s.giveBack(); err != nil {
			return err
		}
	}
}

// giveBack cuts free pages off the file and empties its log.
func (s *store) giveBack() error {
	for _, pragma := range []string{"PRAGMA incremental_vacuum", "PRAGMA wal_checkpoint(TRUNCATE)"} {
		err := eachRow(context.Background(), s.conn, pragma, func(func(...any) error) error { return nil })
		if err != nil {
			return err
		}
	}
	return nil
}

// number asks for one figure.
func (s *store) number(query string, args ...any) (n int64, err error) {
	err = s.conn.QueryRowContext(context.Background(), query, args...).Scan(&n)
	return n, err
}

// size is how large file and log are, bytes.
func (s *store) size() (int64, error) {
	var path string
	if err := s.conn.QueryRowContext(context.Background(), "SELECT file FROM pragma_database_list WHERE name = 'main'").Scan(&path); err != nil {
		return 0, err
	}
	return sizeOf(path)
}

// sizeOf is how large a file and its log are, bytes.
func sizeOf(path string) (all int64, err error) {
	for _, name := range []string{path, path + "-wal"} {
		info, err := os.Stat(name)
		if err == nil {
			all += info.Size()
		} else if !os.IsNotExist(err) {
			return 0, err
		}
	}
	return all, nil
}
