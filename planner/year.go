package planner

import (
	"context"
	"time"
)

// Year is what came of a run, month by month.
type Year struct {
	Months            []Month
	UnexplainedKWh    float64    // what the books fail to explain, by system and month, added up without sign
	Trips             []Trip     // of the heaters' cut-outs, in the order of time
	Reported          []Reported // by the controller, the most urgent first
	Broken            []Breakage // in the order of time
	FluidLost         []FluidLoss
	FrostMargins      []FrostMargin // the least of each system
	HottestTankC      float64       // of any tank's top
	HottestCollectorC float64
}

// Total adds the months up. Its MeanTankTopC is the mean of theirs.
func (y *Year) Total() Month {
	var t Month
	for i := range y.Months {
		t.add(&y.Months[i])
		t.MeanTankTopC += y.Months[i].MeanTankTopC / float64(len(y.Months))
	}
	if len(y.Months) > 0 {
		t.Start = y.Months[0].Start
	}
	return t
}

// lookEvery is how often tanks' tops and cut-outs are looked at.
const lookEvery = time.Minute

// RunYear runs through the months of a run, in the site's civil time, or until
// ctx ends. Progress, which may be nil, is called once a simulated day with the
// part done, 0 to 1. Every observer, which may be none, sees the run after each
// step.
func RunYear(ctx context.Context, r *Run, progress func(done float64), observers ...func(*Run)) (*Year, error) {
	w := newYearWriter(r)
	nextDay := w.begin
	for now := w.begin; now < w.end; now = r.House.Elapsed() {
		if now >= nextDay {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			if progress != nil {
				progress(float64(now-w.begin) / float64(w.end-w.begin))
			}
			nextDay += 24 * time.Hour
		}
		w.step()
		for _, see := range observers {
			see(r)
		}
	}
	return w.finish(), nil
}

// yearWriter writes a year while a run goes on.
type yearWriter struct {
	run        *Run
	year       Year
	begin, end time.Duration // of the run
	start      time.Time     // house time at begin
	month      Month
	monthEnds  time.Duration
	last       stock // at the beginning of the month
	top        mean
	sunW       float64 // on the collectors, summed up over the month's steps
	nextLook   time.Duration
	nextTruth  time.Duration
	steps      int
	troubles   *troubles
	wounds     *wounds
}

func newYearWriter(r *Run) *yearWriter {
	w := &yearWriter{run: r, begin: r.House.Elapsed(), start: r.House.Now().In(r.site.Zone), last: r.takeStock(), troubles: newTroubles(r), wounds: newWounds(r)}
	w.end = w.until(w.start.AddDate(0, r.months, 0))
	w.month.Start = w.start
	w.monthEnds = min(w.end, w.until(nextMonth(w.start)))
	w.nextLook, w.nextTruth = w.begin, w.begin
	return w
}

// until is the elapsed time of the house at an instant.
func (w *yearWriter) until(t time.Time) time.Duration { return w.begin + t.Sub(w.start) }

// step moves the run on and writes down what came of it.
func (w *yearWriter) step() {
	r := w.run
	out := r.Step()
	w.steps++
	if out != nil && len(out.Findings) > 0 {
		w.troubles.hear(r, out.Findings, w.steps)
	}
	for i, areaM2 := range r.areasM2 {
		w.sunW += r.House.Light(i).IrradianceWM2 * areaM2
	}
	now := r.House.Elapsed()
	if now >= w.nextLook {
		for _, topC := range r.topsC {
			w.top.add(topC())
		}
		w.troubles.look(r)
		w.nextLook += lookEvery
	}
	if now >= w.nextTruth {
		w.wounds.look(r)
		w.nextTruth += truthEvery
	}
	if now >= w.monthEnds {
		w.closeMonth()
	}
}

func (w *yearWriter) closeMonth() {
	stock := w.run.takeStock()
	w.year.UnexplainedKWh += stock.since(&w.last, &w.month)
	w.month.MeanTankTopC = w.top.value()
	w.month.SunOnCollectorsKWh = w.sunW * w.run.step.Hours() / 1000
	w.year.Months = append(w.year.Months, w.month)
	w.last, w.top, w.sunW = stock, mean{}, 0
	w.month = Month{Start: nextMonth(w.month.Start)}
	w.monthEnds = min(w.end, w.until(nextMonth(w.month.Start)))
}

func (w *yearWriter) finish() *Year {
	y := &w.year
	w.troubles.look(w.run)
	w.wounds.look(w.run)
	y.Broken, y.FluidLost, y.FrostMargins = w.wounds.broken, w.wounds.losses(), w.wounds.margins
	y.Trips, y.Reported = w.troubles.trips, w.troubles.reported()
	for i := range w.last.tallies {
		t := &w.last.tallies[i]
		y.HottestTankC = max(y.HottestTankC, t.HottestTankC)
		y.HottestCollectorC = max(y.HottestCollectorC, t.HottestCollectorC)
	}
	return y
}

// mean adds values up.
type mean struct {
	sum float64
	n   int
}

func (m *mean) add(x float64) { m.sum += x; m.n++ }

// value is the mean, 0 of nothing.
func (m *mean) value() float64 { return m.sum / float64(max(1, m.n)) }

func nextMonth(t time.Time) time.Time {
	return time.Date(t.Year(), t.Month()+1, 1, 0, 0, 0, 0, t.Location())
}
