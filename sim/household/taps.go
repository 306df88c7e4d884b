package household

import (
	"cmp"
	"fmt"
	"slices"
	"time"
)

// Taps plays the days of a Source along simulated time: it tells which taps
// run during a step and for how long. It allocates only while its lists grow
// in the first days.
type Taps struct {
	source Source
	start  time.Time // instant of elapsed time zero
	zone   *time.Location

	date       Date          // first day not yet planned
	plannedTo  time.Duration // start of that day
	quietUntil time.Duration // no tap runs before
	day        []Draw
	planned    []Run // not yet running, by start
	running    []*Run
	done       []*Run // finished runs to be used again
	portions   []Portion
}

// Run is one draw on its way, with what it has got so far. The caller adds to
// the three sums.
type Run struct {
	Draw
	begin, end time.Duration

	AskedJ, DeliveredJ, AtTemperatureJ float64
}

// Portion is the part of a draw that falls into a step.
type Portion struct {
	Run    *Run // valid until the next call of Between
	Litres float64
	First  bool // the tap has just been opened
	Last   bool // the draw ends with this portion
}

// NewTaps starts at an instant; the zone (nil for UTC) is that of the wall
// times of the draws.
func NewTaps(source Source, start time.Time, zone *time.Location) (*Taps, error) {
	if source == nil {
		return nil, fmt.Errorf("household: no source of draws")
	}
	if zone == nil {
		zone = time.UTC
	}
	t := &Taps{source: source, start: start, zone: zone, date: DateOf(start.In(zone))}
	t.plannedTo = t.elapsed(t.date, 0)
	return t, nil
}

// elapsed is a wall time as time since the start.
func (t *Taps) elapsed(date Date, timeOfDay time.Duration) time.Duration {
	return date.at(timeOfDay, t.zone).Sub(t.start)
}

// Quiet tells whether no tap runs before an elapsed time, from the last one that
// Between was asked for: it then need not be asked.
func (t *Taps) Quiet(until time.Duration) bool { return until <= t.quietUntil }

// Between returns the portions drawn between two elapsed times. Calls must
// follow each other without gap. The result is overwritten by the next call.
func (t *Taps) Between(from, to time.Duration) []Portion {
	if t.Quiet(to) {
		return nil
	}
	t.portions = t.portions[:0]
	for t.plannedTo < to {
		t.planDay(from)
	}
	t.open(to)
	still := t.running[:0]
	for _, r := range t.running {
		begin, end := max(r.begin, from), min(r.end, to)
		last := r.end <= to
		t.portions = append(t.portions, Portion{Run: r, Litres: r.FlowLMin * (end - begin).Minutes(), First: r.begin >= from, Last: last})
		if last {
			t.done = append(t.done, r)
		} else {
			still = append(still, r)
		}
	}
	t.running = still
	t.quietUntil = to
	if len(still) == 0 {
		t.quietUntil = t.plannedTo
		if len(t.planned) > 0 {
			t.quietUntil = t.planned[0].begin
		}
	}
	return t.portions
}

// Open lets somebody open a tap at an elapsed time, not before the last one that
// Between was asked for. The draw's own time of day means nothing.
func (t *Taps) Open(d Draw, at time.Duration) {
	i, _ := slices.BinarySearchFunc(t.planned, at, func(r Run, at time.Duration) int { return cmp.Compare(r.begin, at) })
	t.planned = slices.Insert(t.planned, i, Run{Draw: d, begin: at, end: at + d.For})
	t.quietUntil = min(t.quietUntil, at)
}

// planDay adds the draws of the next day. Those that were over before the
// simulation began are left out.
func (t *Taps) planDay(from time.Duration) {
	t.day = t.source.Day(t.date, t.day[:0])
	for _, d := range t.day {
		begin := t.elapsed(t.date, d.At)
		if end := begin + d.For; end > from {
			t.planned = append(t.planned, Run{Draw: d, begin: begin, end: end})
		}
	}
	t.date = t.date.next()
	t.plannedTo = t.elapsed(t.date, 0)
}

// open starts the planned draws that begin before an elapsed time.
func (t *Taps) open(before time.Duration) {
	opened := 0
	for opened < len(t.planned) && t.planned[opened].begin < before {
		var r *Run
		if n := len(t.done); n > 0 {
			r, t.done = t.done[n-1], t.done[:n-1]
		} else {
			r = new(Run)
		}
		*r = t.planned[opened]
		t.running = append(t.running, r)
		opened++
	}
	t.planned = append(t.planned[:0], t.planned[opened:]...)
}
