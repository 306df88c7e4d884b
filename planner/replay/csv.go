package replay

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"time"

	"sunstoker/history"
	"sunstoker/site"
)

// FromCSV reads what "history export --what minutes" has written, from one instant
// to before another. A mistake is told with its line.
func FromCSV(in io.Reader, s *site.Site, from, to time.Time) (*Record, error) {
	table := csv.NewReader(in)
	head, err := table.Read()
	if err != nil {
		if err == io.EOF {
			return nil, errors.New("the file is empty: give one that history export --what minutes has written")
		}
		return nil, fmt.Errorf("line 1: %w: it should name the columns, as history export writes them", err)
	}
	columns := map[string]int{}
	for i, name := range head {
		columns[name] = i
	}
	at, known := columns["time_utc"]
	if !known {
		return nil, errors.New("line 1: there is no column time_utc: give a file that history export --what minutes has written")
	}
	r := newRecord(&s.Plan)
	probes, outputs := seriesOf(&s.Plan)
	find := func(of []history.Series) (places []int) {
		for i := range of {
			place, there := columns[of[i].Title()+" mean"]
			if !there {
				place = -1
			}
			places = append(places, place)
		}
		return places
	}
	ofProbes, ofOutputs := find(probes), find(outputs)
	for {
		row, err := table.Read()
		if err == io.EOF {
			return r, r.check(from, to, s.Zone)
		}
		if errors.Is(err, csv.ErrFieldCount) {
			line, _ := table.FieldPos(0)
			return nil, fmt.Errorf("line %d holds %d of the %d columns that line 1 names: give all of the file as history export has written it", line, len(row), len(head))
		}
		if err != nil {
			return nil, err // the package tells the line
		}
		line, _ := table.FieldPos(at)
		start, err := time.Parse(time.RFC3339, row[at])
		if err != nil || start.Unix()%60 != 0 {
			return nil, fmt.Errorf("line %d: %q is no minute in UTC, such as 2026-06-01T10:05:00Z", line, row[at])
		}
		if n := r.minutes(); n > 0 && start.Unix() <= r.starts[n-1] {
			return nil, fmt.Errorf("line %d: %s does not come after the line before", line, row[at])
		}
		if start.Before(from) || !start.Before(to) {
			continue
		}
		r.starts = append(r.starts, start.Unix())
		if err := errors.Join(take(r.readings, row, ofProbes, line), take(r.levels, row, ofOutputs, line)); err != nil {
			return nil, err
		}
	}
}

// take appends the figures of a row; an empty one is not known.
func take(to [][]float64, row []string, places []int, line int) error {
	for i, place := range places {
		v := math.NaN()
		if place >= 0 && row[place] != "" {
			var err error
			if v, err = strconv.ParseFloat(row[place], 64); err != nil {
				return fmt.Errorf("line %d: %q is no number", line, row[place])
			}
		}
		to[i] = append(to[i], v)
	}
	return nil
}
