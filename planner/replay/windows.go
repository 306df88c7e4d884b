package replay

import (
	"math"
	"slices"
	"time"

	"sunstoker/control"
)

// A plant is fitted to whiles in which nobody draws water, since what is drawn is
// not measured. A draw shows as cold water at the bottom, or by its coil chills a
// store of loop fluid as a whole: a tank whose bottom is warm and falls no faster than
// it loses heat has had none of any size.
const (
	warmBottomC   = 25.0
	fastestFallK  = 0.3  // of the bottom in a minute, where cold water comes in
	fastestChillK = 0.15 // likewise of a store of loop fluid, which a coil chills
	widestK       = 5.0  // between top and bottom where a simulation begins
	// A simulation of leadIn comes before what is compared. How the water lies
	// between and below the probes when it begins nobody knows, nor how warm pipes are;
	// a day of sun and a night of rest make both what they are, wherever they began.
	// Without, all figures of a tank of drinking water came out too high, by 2 to 8 %.
	leadIn = 24 * time.Hour
	// comparedFor is how much of it is compared, which with leadIn makes a while that
	// people at home never leave alone: small draws can't be seen, and all figures
	// would be wrong by what they take.
	comparedFor   = 24 * time.Hour
	leastCompared = 6 * time.Hour
	mostWindows   = 24
)

// window is such a while, from a minute of the record on.
type window struct {
	from  int
	parts []part // that are compared, in their order
}

// part is from one minute of the record to before another.
type part struct{ from, to int }

// traces are what the record has of one system.
type traces struct {
	collector, top, bottom []float64
	pump, heater           []float64 // nil where there is none
	fastestFallK           float64   // of the bottom in a minute, in which nobody draws
}

// tracesOf finds a system's readings and levels; ok is false when a reading that a
// fit needs has no probe.
func tracesOf(p *control.Plan, r *Record, system int) (t traces, ok bool) {
	for i, probe := range p.Probes {
		if probe.System != system {
			continue
		}
		switch probe.Place {
		case control.Collector:
			t.collector = r.readings[i]
		case control.TankTop:
			t.top = r.readings[i]
		case control.TankBottom:
			t.bottom = r.readings[i]
		}
	}
	for i, output := range p.Outputs {
		if output.System != system {
			continue
		}
		switch output.Actuator {
		case control.LoopPump:
			t.pump = r.levels[i]
		case control.BackupHeater:
			t.heater = r.levels[i]
		}
	}
	return t, t.collector != nil && t.top != nil && t.bottom != nil
}

// level is an output's level in a minute; 0 where there is no such output.
func level(of []float64, i int) float64 {
	if of == nil {
		return 0
	}
	return of[i]
}

// moves is the level at which the loop carries heat in a minute. Where there is no
// pump it does so while the collector is warmer than all of the tank.
func (t *traces) moves(i int) float64 {
	if t.pump == nil && t.collector[i] > t.top[i] {
		return 1
	}
	return level(t.pump, i)
}

// calm tells whether nobody has drawn water in a minute, and the heater was off.
func (t *traces) calm(r *Record, i int) bool {
	known := t.collector[i] + t.top[i] + t.bottom[i] + level(t.pump, i) + level(t.heater, i)
	switch {
	case math.IsNaN(known), t.bottom[i] < warmBottomC, i > 0 && r.gapBefore(i) > 0:
		return false
	case level(t.heater, i) > 0: // it warms the top alone, and no probe tells how far down
		return false
	case i > 0 && t.bottom[i-1]-t.bottom[i] > t.fastestFallK && !t.stirred(i):
		return false
	}
	return true
}

// stirred tells whether the pump has just started, which brings up what is colder
// below the bottom probe: that is no draw.
func (t *traces) stirred(i int) bool {
	const minutes = 3
	for k := max(1, i-minutes); k <= i; k++ {
		if level(t.pump, k) > 0 && level(t.pump, k-1) == 0 {
			return true
		}
	}
	return false
}

// windows are the whiles of a record to which a system can be fitted, no more of
// them than it takes, from all of the record.
func (t *traces) windows(r *Record) (list []window) {
	restless := t.restless()
	for from := 0; from < r.minutes(); {
		to := from
		for to < r.minutes() && t.calm(r, to) {
			to++
		}
		list = append(list, t.within(from, to, restless)...)
		from = to + 1
	}
	for len(list) > mostWindows {
		list = slices.Collect(everySecond(list))
	}
	return list
}

// within are the windows of one calm while.
func (t *traces) within(from, to int, restless []bool) (list []window) {
	for to-from >= minutesOf(leadIn+leastCompared) {
		if t.top[from]-t.bottom[from] > widestK {
			from++
			continue
		}
		begin := from + minutesOf(leadIn)
		end := min(to, begin+minutesOf(comparedFor))
		if parts := steady(restless, begin, end); len(parts) > 0 {
			list = append(list, window{from, parts})
		}
		from += minutesOf(comparedFor)
	}
	return list
}

func minutesOf(d time.Duration) int { return int(d / time.Minute) }

func everySecond(list []window) func(func(window) bool) {
	return func(yield func(window) bool) {
		for i := 0; i < len(list); i += 2 {
			if !yield(list[i]) {
				return
			}
		}
	}
}

// Weather is known by the hour. Under passing clouds pump and flow follow the sun
// within minutes: they run while it shines, brighter than the hour's mean, and rest
// while it does not. A plant that is simulated in the hour's mean would need a better
// collector for the same heat: one a tenth better. So what comes while clouds pass is
// not compared. They show in a collector whose temperature bends sharply though its
// pump does not change.
const (
	bendMinutes = 2 // before and after
	sharpK      = 1.0
	// restlessShare of the minutes within restlessReach is too many of them.
	restlessShare = 0.1
	restlessReach = 90 * time.Minute
	leastPart     = time.Hour
)

// restless tells of each minute whether clouds passed around it.
func (t *traces) restless() []bool {
	n := len(t.collector)
	sharp := make([]int, n+1) // how many before
	for i := range n {
		sharp[i+1] = sharp[i]
		if t.bends(i) {
			sharp[i+1]++
		}
	}
	reach := minutesOf(restlessReach)
	list := make([]bool, n)
	for i := range list {
		from, to := max(0, i-reach), min(n, i+reach+1)
		list[i] = float64(sharp[to]-sharp[from]) > restlessShare*float64(to-from)
	}
	return list
}

// bends tells whether the collector's temperature bends sharply at a minute, with
// its pump as it was for a while.
func (t *traces) bends(i int) bool {
	if i < bendMinutes || i+bendMinutes >= len(t.collector) {
		return false
	}
	return math.Abs(t.collector[i-bendMinutes]-2*t.collector[i]+t.collector[i+bendMinutes]) > sharpK
}

// steady are the parts between two minutes in which no clouds passed.
func steady(restless []bool, from, to int) (parts []part) {
	for i := from; i <= to; i++ {
		if i < to && !restless[i] {
			continue
		}
		if i-from >= minutesOf(leastPart) {
			parts = append(parts, part{from, i})
		}
		from = i + 1
	}
	return parts
}
