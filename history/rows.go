package history

import (
	"context"
	"database/sql"
	"encoding/json"
	"fmt"
)

// rowsQuery reads the rows of a table from one instant to before another.
func rowsQuery(table string) string {
	return "SELECT start, seconds, sure, layout, cells FROM " + table + " WHERE start >= ? AND start < ? ORDER BY start"
}

// layouts are lists of series by their number in the file.
type layouts map[int64][]Series

// readRows reads rows of a tier into memory.
func readRows(ctx context.Context, query *sql.Stmt, of layouts, from, to int64) ([]row, error) {
	var out []row
	err := scanRows(ctx, query, of, from, to, func(r *row) error {
		kept := *r
		kept.cells = append([]cell(nil), r.cells...)
		out = append(out, kept)
		return nil
	})
	return out, err
}

// scanRows goes through rows of a tier. What is handed over is valid until the
// next one.
func scanRows(ctx context.Context, query *sql.Stmt, of layouts, from, to int64, do func(*row) error) error {
	found, err := query.QueryContext(ctx, from, to)
	if err != nil {
		return err
	}
	defer found.Close() // Err tells what there is to tell
	var r row
	for found.Next() {
		var layout int64
		var packed sql.RawBytes
		if err := found.Scan(&r.start, &r.seconds, &r.sure, &layout, &packed); err != nil {
			return err
		}
		series, known := of[layout]
		if !known {
			return fmt.Errorf("%w: a row of %d names a list of series that is not there", errDamaged, r.start)
		}
		r.series = series
		if err := r.decode(packed); err != nil {
			return fmt.Errorf("%w, in the row of %d", err, r.start)
		}
		if err := do(&r); err != nil {
			return err
		}
	}
	return found.Err()
}

// parseLayout reads a list of series.
func parseLayout(text string) ([]Series, error) {
	var series []Series
	if err := json.Unmarshal([]byte(text), &series); err != nil {
		return nil, fmt.Errorf("%w: a list of series can't be read", errDamaged)
	}
	for i := range series {
		if !(series[i].Steps > 0) {
			return nil, fmt.Errorf("%w: the series %s has no steps", errDamaged, series[i].Title())
		}
	}
	return series, nil
}

// asker is a connection or a pool of them.
type asker interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
}

// eachRow runs a query and hands over each row's scan.
func eachRow(ctx context.Context, db asker, query string, do func(scan func(...any) error) error, args ...any) error {
	rows, err := db.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close() // Err tells what there is to tell
	for rows.Next() {
		if err := do(rows.Scan); err != nil {
			return err
		}
	}
	return rows.Err()
}

func readLayouts(db asker) (layouts, error) {
	out := layouts{}
	err := eachRow(context.Background(), db, "SELECT id, series FROM layouts", func(scan func(...any) error) error {
		var id int64
		var text string
		err := scan(&id, &text)
		if err == nil {
			out[id], err = parseLayout(text)
		}
		return err
	})
	return out, err
}

func readNames(db asker) (map[int64]Name, error) {
	out := map[int64]Name{}
	err := eachRow(context.Background(), db, "SELECT id, name, words FROM names", func(scan func(...any) error) error {
		var id int64
		var n Name
		err := scan(&id, &n.Key, &n.Words)
		out[id] = n
		return err
	})
	return out, err
}
