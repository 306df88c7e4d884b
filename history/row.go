package history

import (
	"encoding/binary"
	"errors"
	"math"
)

// cell is what a span of time holds of one series.
type cell struct {
	seconds         int64 // for which the figure was known
	mean, low, high float64
	// amount is what a series of amounts came to; the others are 0 then.
	amount float64
}

// add takes another span of the same series in.
func (c *cell) add(o *cell) {
	c.amount += o.amount
	if o.seconds == 0 {
		return
	}
	if c.seconds == 0 {
		c.seconds, c.mean, c.low, c.high = o.seconds, o.mean, o.low, o.high
		return
	}
	all := c.seconds + o.seconds
	c.mean += (o.mean - c.mean) * float64(o.seconds) / float64(all)
	c.low, c.high, c.seconds = min(c.low, o.low), max(c.high, o.high), all
}

// row is a span of time: a minute, quarter hour, hour or day.
type row struct {
	start   int64 // Unix seconds
	seconds int64 // of the span in which the program ran
	sure    bool  // the clock was trusted, or was while the row waited to be written
	series  []Series
	cells   []cell // one per series
}

// merge makes one row of several, which are in the order of time. Its series are
// those of the last one: what a site file no longer has is not carried into the
// span in which it was changed.
func merge(start int64, rows []row) row {
	last := &rows[len(rows)-1]
	out := row{start: start, sure: true, series: last.series, cells: make([]cell, len(last.series))}
	var seen []Series
	var to []int
	for i := range rows {
		r := &rows[i]
		out.seconds += r.seconds
		out.sure = out.sure && r.sure
		if !sameSlice(seen, r.series) {
			seen, to = r.series, places(r.series, out.series)
		}
		for k := range r.cells {
			if to[k] >= 0 {
				out.cells[to[k]].add(&r.cells[k])
			}
		}
	}
	return out
}

func sameSlice(a, b []Series) bool {
	return len(a) == len(b) && (len(a) == 0 || &a[0] == &b[0])
}

// places tells for each series where the same one stands in another list, or -1.
func places(of, in []Series) []int {
	at := map[key]int{}
	for i := range in {
		at[in[i].key()] = i
	}
	out := make([]int, len(of))
	for i := range of {
		out[i] = -1
		if k, is := at[of[i].key()]; is && in[k].Sum == of[i].Sum {
			out[i] = k
		}
	}
	return out
}

// mostSteps bounds a figure: what is beyond is written as the bound. It keeps
// every sum of them exact in a float64.
const mostSteps = 1 << 52

// encode packs the cells of a row: for an amount its steps; for the others the
// seconds for which nothing was known, and if that is not the whole row, the mean
// and how far below and above it lowest and highest are. Small figures take one
// byte each (the variable-length integers of encoding/binary).
func (r *row) encode(to []byte) []byte {
	for i := range r.series {
		s, c := &r.series[i], &r.cells[i]
		if s.Sum {
			to = binary.AppendUvarint(to, uint64(max(0, steps(c.amount, s))))
			continue
		}
		known := min(c.seconds, r.seconds)
		to = binary.AppendUvarint(to, uint64(r.seconds-known))
		if known == 0 {
			continue
		}
		mean := steps(c.mean, s)
		to = binary.AppendVarint(to, mean)
		to = binary.AppendUvarint(to, uint64(max(0, mean-steps(c.low, s))))
		to = binary.AppendUvarint(to, uint64(max(0, steps(c.high, s)-mean)))
	}
	return to
}

func steps(v float64, s *Series) int64 {
	v = math.Round(v * s.Steps)
	if math.IsNaN(v) {
		return 0
	}
	return int64(min(max(v, -mostSteps), mostSteps))
}

var errCells = errors.New("a row's figures can't be read")

// decode unpacks the cells of a row whose other fields are filled in. Cells that
// are there are used again.
func (r *row) decode(packed []byte) error {
	if cap(r.cells) < len(r.series) {
		r.cells = make([]cell, len(r.series))
	}
	r.cells = r.cells[:len(r.series)]
	p := unpacker{rest: packed}
	for i := range r.series {
		s, c := &r.series[i], &r.cells[i]
		*c = cell{}
		if s.Sum {
			c.amount = float64(p.unsigned()) / s.Steps
			continue
		}
		c.seconds = r.seconds - p.unsigned()
		if c.seconds <= 0 {
			p.bad = p.bad || c.seconds < 0
			continue
		}
		mean := p.signed()
		c.mean = float64(mean) / s.Steps
		c.low = float64(mean-p.unsigned()) / s.Steps
		c.high = float64(mean+p.unsigned()) / s.Steps
	}
	if p.bad || len(p.rest) > 0 {
		return errCells
	}
	return nil
}

type unpacker struct {
	rest []byte
	bad  bool
}

func (p *unpacker) unsigned() int64 {
	v, n := binary.Uvarint(p.rest)
	if n <= 0 || v > 2*mostSteps {
		p.bad, p.rest = true, nil
		return 0
	}
	p.rest = p.rest[n:]
	return int64(v)
}

func (p *unpacker) signed() int64 {
	v, n := binary.Varint(p.rest)
	if n <= 0 || v > mostSteps || v < -mostSteps {
		p.bad, p.rest = true, nil
		return 0
	}
	p.rest = p.rest[n:]
	return v
}
