package replay

import (
	"math"
	"time"

	"sunstoker/sim"
)

// How far a simulated plant may be from a reading before that counts as much as
// another: steadier readings count more. Common practice, no source.
const (
	topScaleK     = 0.3
	bottomScaleK  = 1.0 // below the coil the water is colder than any probe tells
	pumpedScaleK  = 0.5 // of a collector whose pump runs
	restingScaleK = 3.0
	// fitStep is the simulated plant's step, and compareEvery how often it is held
	// against the record.
	fitStep      = 20 * time.Second
	compareEvery = 10 * time.Minute
)

// holdAll holds a plant against all windows.
func (f *fitter) holdAll(x, into []float64) {
	for _, w := range f.windows {
		into = f.hold(x, w, into)
	}
}

// hold lets a plant live through a window under what was really driven, and fills in
// how far it is from what was read. It gives the rest of the slice.
func (f *fitter) hold(x []float64, w window, into []float64) []float64 {
	c := f.config
	c.Start = time.Unix(f.record.starts[w.from], 0)
	c.Systems = []sim.System{f.config.Systems[0]}
	p := &c.Systems[0].Plant
	for k := range f.figures {
		figure := f.figures[k].of(p)
		*figure *= math.Exp(x[k])
	}
	p.Collector.Eta0 = min(p.Collector.Eta0, mostEta)
	rise := (f.traces.top[w.from]-f.traces.bottom[w.from])/max(p.TopProbeHeight-p.BottomProbeHeight, 0.1) + f.start.steeperK
	p.StartC = f.traces.bottom[w.from] - rise*p.BottomProbeHeight + f.start.warmerK
	p.StartTopC = p.StartC + rise
	house, err := sim.New(c)
	i := w.from
	for _, part := range w.parts {
		n := part.comparisons()
		if err != nil { // a figure beyond what can be: as far off as can be
			for k := range n {
				into[k] = 1e3
			}
			into = into[n:]
			continue
		}
		for ; i < part.to; i++ {
			if since := i - part.from; since >= 0 && since%minutesOf(compareEvery) == 0 {
				f.compare(house, i, into)
				into = into[3:]
			}
			f.liveMinute(house, i)
		}
	}
	return into
}

// compare fills in how far a house is from a minute's readings. A probe lags by half a
// minute, so that a minute's mean is what was so when the minute began.
func (f *fitter) compare(house *sim.House, i int, into []float64) {
	truth := house.Truth(0)
	into[0] = (truth.TankTopC - f.traces.top[i]) / topScaleK
	into[1] = (truth.TankBottomC - f.traces.bottom[i]) / bottomScaleK
	into[2] = (truth.CollectorC - f.traces.collector[i]) / f.collectorScale(i)
}

// liveMinute is a minute of the record in a house.
func (f *fitter) liveMinute(house *sim.House, i int) {
	for at := time.Duration(0); at < time.Minute; at += fitStep {
		house.SetPump(0, drivenAt(f.traces.pump, i, at+fitStep/2))
		house.Step(fitStep)
	}
}

// collectorScale is how far the collector may be off in a minute.
func (f *fitter) collectorScale(i int) float64 {
	if level(f.traces.pump, i) > 0 {
		return pumpedScaleK
	}
	return restingScaleK
}

// drivenAt is what an output was driven at within a minute, of which the mean is
// known: what was switched on in the minute was on at its end, and what was
// switched off at its beginning.
func drivenAt(levels []float64, i int, at time.Duration) float64 {
	if levels == nil {
		return 0
	}
	mean := levels[i]
	before, after := mean, mean
	if i > 0 {
		before = levels[i-1]
	}
	if i+1 < len(levels) {
		after = levels[i+1]
	}
	low, high := min(before, after), max(before, after)
	if !(mean > low && mean < high) { // neither switched on nor off once; nor next to what is not known
		return mean
	}
	share := (mean - low) / (high - low) // of the minute at the higher one
	if first := at.Minutes() < share; before > after && first || before < after && at.Minutes() >= 1-share {
		return high
	}
	return low
}
