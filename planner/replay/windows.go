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
	widestK       = 5.0
	leastWindow   = 150 * time.Minute
	longestWindow = 6 * time.Hour
	// In a store of loop fluid by natural circulation hot lies over cold all morning, and
	// how is known at its end alone: from one afternoon to the next.
	longestLayered = 26 * time.Hour
	// With people at home such a store is never left alone for so long, and in the whiles
	// that are chosen because it cooled slowly its loss comes out a third too low.
	leastLayered = 12 * time.Hour
	mostWindows  = 24
)

// window is such a while, as minutes of the record from one to before another.
type window struct{ from, to int }

// traces are what the record has of one system.
type traces struct {
	collector, top, bottom []float64
	pump, heater           []float64 // nil where there is none
	layered                bool
	least                  time.Duration // of a while to which it is fitted
	fastestFallK           float64       // of the bottom in a minute, in which nobody draws
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

// calm tells whether nobody has drawn water in a minute, and the heater was off.
func (t *traces) calm(r *Record, i int) bool {
	known := t.collector[i] + t.top[i] + t.bottom[i] + level(t.pump, i) + level(t.heater, i)
	switch {
	case math.IsNaN(known), t.bottom[i] < warmBottomC, !t.layered && t.top[i]-t.bottom[i] > widestK:
		return false
	case level(t.heater, i) > 0: // it warms the top alone, and no probe tells how far down
		return false
	case i > 0 && r.gapBefore(i) == 0 && t.bottom[i-1]-t.bottom[i] > t.fastestFallK:
		return false
	}
	return true
}

// windows are the whiles of a record to which a system can be fitted, no more of
// them than it takes, from all of the record.
func (t *traces) windows(r *Record) (list []window) {
	most := int(longestWindow / time.Minute)
	if t.layered {
		most = int(longestLayered / time.Minute)
	}
	from := 0
	end := func(to int) {
		if to-from >= int(t.least/time.Minute) {
			list = append(list, window{from, to})
		}
	}
	for i := range r.starts {
		switch {
		case !t.calm(r, i):
			end(i)
			from = i + 1
		case i > from && r.gapBefore(i) > 0, i-from >= most:
			end(i)
			from = i
		}
		if i == from && t.top[i]-t.bottom[i] > widestK { // nobody knows how it lies between the probes
			from = i + 1
		}
	}
	end(r.minutes())
	for len(list) > mostWindows {
		list = slices.Collect(everySecond(list))
	}
	return list
}

func everySecond(list []window) func(func(window) bool) {
	return func(yield func(window) bool) {
		for i := 0; i < len(list); i += 2 {
			if !yield(list[i]) {
				return
			}
		}
	}
}
