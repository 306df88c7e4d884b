package replay

import (
	"math"
	"time"

	"sunstoker/control"
)

// onFrom is the minute's mean level from which an output counts as on.
func onFrom(o *control.Output) float64 {
	if o.LeastLevel > 0 {
		return o.LeastLevel / 2
	}
	return 0.5
}

// shown is a level as it is told: of an output that is only on or off, what most of
// the minute was.
func shown(o *control.Output, level float64) float64 {
	if o.LeastLevel > 0 {
		return level
	}
	return math.Round(level)
}

// use is what an output came to over a record.
type use struct {
	hours  float64 // of full level
	starts int
}

func useOf(o *control.Output, levels []float64) (u use) {
	on := false
	for _, level := range levels {
		if math.IsNaN(level) {
			continue
		}
		u.hours += level / 60
		is := level >= onFrom(o)
		if is && !on {
			u.starts++
		}
		on = is
	}
	return u
}

// agreement is the share of minutes in which two courses of an output were on and
// off alike, of those in which both are known.
func agreement(o *control.Output, a, b []float64) float64 {
	alike, all := 0, 0
	for i := range a {
		if math.IsNaN(a[i]) || math.IsNaN(b[i]) {
			continue
		}
		all++
		if (a[i] >= onFrom(o)) == (b[i] >= onFrom(o)) {
			alike++
		}
	}
	if all == 0 {
		return math.NaN()
	}
	return float64(alike) / float64(all)
}

// difference is a while in which two courses of an output were not alike.
type difference struct {
	output   int
	from, to time.Time
	level    float64 // of the other course at its beginning
	rank     control.Rank
	says     control.Reason
}

// differences are all of an output, in the order of time. Those a minute or two
// apart are one.
func differences(r *Record, o *control.Output, output int, now, other *Course) (list []difference) {
	const near = 2 * time.Minute
	for i, start := range r.starts {
		a, b := now.levels[output][i] >= onFrom(o), other.levels[output][i] >= onFrom(o)
		if a == b {
			continue
		}
		from := time.Unix(start, 0)
		if n := len(list); n > 0 && from.Sub(list[n-1].to) <= near && (list[n-1].level >= onFrom(o)) == b {
			list[n-1].to = from.Add(time.Minute)
			continue
		}
		list = append(list, difference{output, from, from.Add(time.Minute), shown(o, other.levels[output][i]), other.ranks[output][i], other.says[output][i]})
	}
	return list
}
