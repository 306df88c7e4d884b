package history

import (
	"context"
	"fmt"
	"time"
)

// Period is what amounts are added up over.
type Period uint8

// The periods. Days, months and years are those of the civil time that is asked
// for; an hour belongs to the day it begins in, also where that day begins half an
// hour after it.
const (
	Hourly Period = iota
	Daily
	Monthly
	Yearly
)

var periodWords = [...]string{"hour", "day", "month", "year"}

// String is the period in a word.
func (p Period) String() string {
	if int(p) < len(periodWords) {
		return periodWords[p]
	}
	return "unknown"
}

// begin is where the period that an instant lies in begins.
func (p Period) begin(at time.Time) time.Time {
	y, m, d := at.Date()
	switch p {
	case Daily:
		return time.Date(y, m, d, 0, 0, 0, 0, at.Location())
	case Monthly:
		return time.Date(y, m, 1, 0, 0, 0, 0, at.Location())
	case Yearly:
		return time.Date(y, 1, 1, 0, 0, 0, 0, at.Location())
	}
	return at
}

// next is where the period after the one that an instant lies in begins.
func (p Period) next(at time.Time) time.Time {
	begin := p.begin(at)
	switch p {
	case Daily:
		return begin.AddDate(0, 0, 1)
	case Monthly:
		return begin.AddDate(0, 1, 0)
	case Yearly:
		return begin.AddDate(1, 0, 0)
	}
	return begin.Add(time.Hour)
}

// Amounts are what one period came to.
type Amounts struct {
	Begin   time.Time
	Seconds int64     // in which the program ran
	Sums    []float64 // one per series of the sheet
}

// Sheet is a list of periods with the amounts of each.
type Sheet struct {
	Series  []Series
	Periods []Amounts
}

// Energy adds up the amounts of all hours that begin from one instant to before
// another, by periods of a zone's civil time.
func (r *Reader) Energy(ctx context.Context, from, to time.Time, by Period, zone *time.Location) (*Sheet, error) {
	if !from.Before(to) {
		return nil, fmt.Errorf("a sheet must end after it begins, not from %s to %s", from.UTC().Format(time.RFC3339), to.UTC().Format(time.RFC3339))
	}
	if err := r.refresh(ctx); err != nil {
		return nil, err
	}
	s := sheet{by: by, zone: zone, at: map[key]int{}}
	begin := floorTo(from.Unix(), tiers[hourTier].span)
	for begin < to.Unix() {
		end := to.Unix()
		if by >= Monthly {
			end = min(end, ceilTo(by.next(time.Unix(begin, 0).In(zone)).Unix(), tiers[hourTier].span))
		}
		if err := r.sumUp(ctx, begin, end, by, s.add); err != nil {
			return nil, fmt.Errorf("%s: %s", r.path, inWords(err))
		}
		begin = end
	}
	s.out.fill()
	return &s.out, nil
}

// sumUp goes through the hours from one instant to before another; in a long
// period the days (UTC) that lie wholly in it stand for their hours, and twenty
// years are some thousand rows.
func (r *Reader) sumUp(ctx context.Context, from, to int64, by Period, do func(*row) error) error {
	day := tiers[dayTier].span
	first, last := ceilTo(from, day), floorTo(to, day)
	if by < Monthly || first >= last {
		return r.scan(ctx, hourTier, from, to, do)
	}
	if err := r.scan(ctx, hourTier, from, first, do); err != nil {
		return err
	}
	if err := r.scan(ctx, dayTier, first, last, do); err != nil {
		return err
	}
	return r.scan(ctx, hourTier, last, to, do)
}

type sheet struct {
	out  Sheet
	by   Period
	zone *time.Location
	at   map[key]int
	end  int64 // Unix second at which the last period ends, as far as it is known
	seen []Series
	to   []int
}

func (s *sheet) add(r *row) error {
	s.meet(r.series)
	// A finer row at the end of the history belongs to its hour.
	hour := floorTo(r.start, tiers[hourTier].span)
	if n := len(s.out.Periods); n == 0 || hour >= s.end {
		begin := s.by.begin(time.Unix(hour, 0).In(s.zone))
		if n == 0 || !s.out.Periods[n-1].Begin.Equal(begin) {
			s.out.Periods = append(s.out.Periods, Amounts{Begin: begin})
		}
		s.end = hour + tiers[hourTier].span
	}
	p := &s.out.Periods[len(s.out.Periods)-1]
	p.Seconds += r.seconds
	for i := range r.cells {
		at := s.to[i]
		if at < 0 {
			continue
		}
		for at >= len(p.Sums) {
			p.Sums = append(p.Sums, 0)
		}
		p.Sums[at] += r.cells[i].amount
	}
	return nil
}

func (s *sheet) meet(series []Series) {
	if sameSlice(s.seen, series) {
		return
	}
	s.seen, s.to = series, make([]int, len(series))
	for i := range series {
		s.to[i] = -1
		if !series[i].Sum {
			continue
		}
		at, there := s.at[series[i].key()]
		if !there {
			at = len(s.out.Series)
			s.at[series[i].key()] = at
			s.out.Series = append(s.out.Series, series[i])
		}
		s.to[i] = at
	}
}

// fill gives every period a figure for every series.
func (s *Sheet) fill() {
	for i := range s.Periods {
		p := &s.Periods[i]
		for len(p.Sums) < len(s.Series) {
			p.Sums = append(p.Sums, 0)
		}
	}
}
