package replay

import (
	"math"
	"time"

	"sunstoker/control"
)

// step is how far apart a replay's steps are: a reading is believed after a few.
const step = 10 * time.Second

// longestLine is how long a gap in the record may be for a line to be drawn over
// it; after a longer one the controller starts anew.
const longestLine = 2 * time.Minute

// Course is what a controller has decided, minute by minute.
type Course struct {
	levels [][]float64      // per output, per minute of the record: the mean level
	ranks  [][]control.Rank // of the last decision in the minute
	says   [][]control.Reason
}

// Decide lets a controller with the plan's settings decide on a record.
func Decide(p control.Plan, r *Record) (*Course, error) {
	p.ObserveOnly = false
	ctl, err := control.New(p)
	if err != nil {
		return nil, err
	}
	n := len(p.Outputs)
	c := &Course{levels: make([][]float64, n), ranks: make([][]control.Rank, n), says: make([][]control.Reason, n)}
	readings := make([]control.Reading, len(p.Probes))
	for i, start := range r.starts {
		if gap := r.gapBefore(i); gap > longestLine {
			ctl.Restarted()
			ctl.WasAway(gap)
		}
		sums := make([]float64, n)
		for at := time.Duration(0); at < time.Minute; at += step {
			for k := range readings {
				readings[k] = r.reading(k, i, at)
			}
			out := ctl.Step(step, control.Wall{Time: time.Unix(start, 0).Add(at), Trusted: true}, readings)
			for k := range out.Decisions {
				sums[k] += out.Decisions[k].Level
				if at+step >= time.Minute {
					c.ranks[k] = append(c.ranks[k], out.Decisions[k].Rank)
					c.says[k] = append(c.says[k], out.Decisions[k].Reason)
				}
			}
		}
		for k := range sums {
			c.levels[k] = append(c.levels[k], sums[k]/float64(time.Minute/step))
		}
	}
	return c, nil
}

// gapBefore is how long nothing was watched before a minute.
func (r *Record) gapBefore(i int) time.Duration {
	if i == 0 {
		return 0
	}
	return time.Duration(r.starts[i]-r.starts[i-1]-60) * time.Second
}

// reading is a probe's value within a minute, on a line between the middles of the
// minutes.
func (r *Record) reading(probe, i int, at time.Duration) control.Reading {
	values := r.readings[probe]
	v, other, share := values[i], i-1, 0.5-at.Minutes()
	if share < 0 {
		other, share = i+1, -share
	}
	if other >= 0 && other < r.minutes() && !math.IsNaN(values[other]) && math.Abs(float64(r.starts[other]-r.starts[i])) == 60 {
		v += share * (values[other] - v)
	}
	if math.IsNaN(v) {
		return control.Reading{Fault: "no good value in the record"}
	}
	return control.Reading{Value: v}
}
