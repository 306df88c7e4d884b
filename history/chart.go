package history

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"
)

// Wanted says what a chart shows.
type Wanted struct {
	From, To time.Time
	// Points is how many there should be at most, 2 to 10000; 0 stands for 1000.
	Points int
	// Series that are wanted, of those that [Reader.Series] lists; all when empty.
	Series []Series
}

// Chart is a history down-sampled to what a screen can show.
type Chart struct {
	Span   time.Duration // of a point
	Starts []int64       // Unix seconds; spans in which the program did not run are left out
	Sure   []bool        // the clock was trusted all the time
	Lines  []Line
}

// Line is one series of a chart, with a figure for each of its starts. NaN stands
// where it was not known.
type Line struct {
	Series
	Mean, Low, High []float64 // empty for amounts
	Amount          []float64 // empty for others
}

const (
	leastPoints = 2 // a span may lie on both sides of where a point begins
	mostPoints  = 10_000
	usualPoints = 1000
	// mostRows is how many rows a chart reads at most: 20 ms of them on a desk, some
	// 100 ms on a small board.
	mostRows = 12_000
)

// Chart reads a part of the history, as fine as a chart of so many points can show.
func (r *Reader) Chart(ctx context.Context, w Wanted) (*Chart, error) {
	from, to := w.From.Unix(), w.To.Unix()
	switch {
	case w.Points == 0:
		w.Points = usualPoints
	case w.Points < leastPoints || w.Points > mostPoints:
		return nil, fmt.Errorf("a chart of %d points: ask for %d to %d", w.Points, leastPoints, mostPoints)
	}
	if from >= to {
		return nil, fmt.Errorf("a chart must end after it begins, not from %s to %s", w.From.UTC().Format(time.RFC3339), w.To.UTC().Format(time.RFC3339))
	}
	if err := r.refresh(ctx); err != nil {
		return nil, err
	}
	at := tierFor(from, to, int64(w.Points))
	span := spanFor(from, to, tiers[at].span, int64(w.Points))
	s := newSampler(span, w.Series)
	if err := r.scan(ctx, at, floorTo(from, span), to, s.add); err != nil {
		return nil, fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	return s.chart(), nil
}

// tierFor is the coarsest tier that has a row for every point between two instants,
// as long as that has not too many of them: a finer one would show the same, since
// every row has its lowest and highest value.
func tierFor(from, to, points int64) int {
	at := dayTier
	for at > minuteTier && (to-from)/tiers[at].span < points && (to-from)/tiers[at-1].span <= mostRows {
		at--
	}
	return at
}

// spanFor is the length of a point: as long as a row, or as many of them as it
// takes. Points begin at multiples of it, so that they stay the same when the chart
// is moved.
func spanFor(from, to, row, points int64) int64 {
	span := row * max(1, (to-from)/row/points)
	for ceilTo(to, span)-floorTo(from, span) > span*points {
		span += row
	}
	return span
}

// refresh reads the lists of series anew: the program may have begun another one.
func (r *Reader) refresh(ctx context.Context) error {
	var n int
	if err := r.db.QueryRowContext(ctx, "SELECT count(*) FROM layouts").Scan(&n); err != nil {
		return fmt.Errorf("%s: %s", r.path, inWords(err))
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if n == len(r.layouts) {
		return nil
	}
	fresh, err := readLayouts(r.db)
	if err == nil {
		r.layouts = fresh
	}
	return err
}

// sampler makes points out of rows.
type sampler struct {
	span  int64
	all   bool
	out   Chart
	at    map[key]int // place of a series in lines
	cells [][]cell    // per line, per start
	seen  []Series    // series of the row before
	to    []int       // per series of it, its line or -1
}

func newSampler(span int64, wanted []Series) *sampler {
	s := &sampler{span: span, all: len(wanted) == 0, at: map[key]int{}}
	s.out.Span = time.Duration(span) * time.Second
	for _, w := range wanted {
		s.line(w)
	}
	return s
}

func (s *sampler) line(of Series) int {
	at, there := s.at[of.key()]
	if !there {
		at = len(s.out.Lines)
		s.at[of.key()] = at
		s.out.Lines = append(s.out.Lines, Line{Series: of})
		s.cells = append(s.cells, make([]cell, len(s.out.Starts)))
	}
	return at
}

func (s *sampler) meet(series []Series) {
	if sameSlice(s.seen, series) {
		return
	}
	s.seen, s.to = series, make([]int, len(series))
	for i := range series {
		s.to[i] = -1
		if _, wanted := s.at[series[i].key()]; wanted || s.all {
			s.to[i] = s.line(series[i])
		}
		if at := s.to[i]; at >= 0 {
			s.out.Lines[at].Series = series[i] // as it is described by the newest
		}
	}
}

func (s *sampler) add(r *row) error {
	s.meet(r.series)
	start := floorTo(r.start, s.span)
	last := len(s.out.Starts) - 1
	if last < 0 || s.out.Starts[last] != start {
		s.out.Starts, s.out.Sure = append(s.out.Starts, start), append(s.out.Sure, true)
		for i := range s.cells {
			s.cells[i] = append(s.cells[i], cell{})
		}
		last++
	}
	s.out.Sure[last] = s.out.Sure[last] && r.sure
	for i := range r.cells {
		if at := s.to[i]; at >= 0 {
			s.cells[at][last].add(&r.cells[i])
		}
	}
	return nil
}

func (s *sampler) chart() *Chart {
	for i := range s.out.Lines {
		s.out.Lines[i].fill(s.cells[i])
	}
	return &s.out
}

func (l *Line) fill(cells []cell) {
	for i := range cells {
		c := &cells[i]
		if l.Sum {
			l.Amount = append(l.Amount, c.amount)
			continue
		}
		if c.seconds == 0 {
			c.mean, c.low, c.high = math.NaN(), math.NaN(), math.NaN()
		}
		l.Mean, l.Low, l.High = append(l.Mean, c.mean), append(l.Low, c.low), append(l.High, c.high)
	}
}

// Series lists every series that the history has or had, the present ones first.
func (r *Reader) Series(ctx context.Context) ([]Series, error) {
	if err := r.refresh(ctx); err != nil {
		return nil, err
	}
	lists := r.newestFirst()
	for i, rows := 0, r.unwritten(); i < len(rows); i++ {
		if i == 0 || !sameSlice(rows[i].series, rows[i-1].series) {
			lists = slices.Insert(lists, 0, rows[i].series)
		}
	}
	var out []Series
	known := map[key]bool{}
	for _, series := range lists {
		for _, s := range series {
			if !known[s.key()] {
				known[s.key()] = true
				out = append(out, s)
			}
		}
	}
	return out, nil
}
