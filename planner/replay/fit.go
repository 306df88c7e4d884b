package replay

import (
	"fmt"
	"math"
	"slices"
	"time"

	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

// Fitted is a figure of a plant that was fitted to a record.
type Fitted struct {
	Name, Unit string
	Assumed    float64 // by the site file, or of the usual size
	Value      float64
	Spread     float64 // standard error: see modelSpread
	most       float64 // beyond which it can't be; 0 for none
	of         func(*plant.Config) *float64
}

// doubtful is the spread, as a share of the figure, from which on the record does not
// tell it.
const doubtful = 0.15

// modelSpread is the least spread, as a share of the figure, however well the days of
// a record agree. What is wrong in the same way on every day no day can tell by being
// left out: the layers of the tank between its probes, how quickly probes follow,
// means of a minute in place of moments. In a simulated plant whose weather is known
// exactly figures come out 2 to 8 % off, where the days agree within 2 %. A real plant
// differs from its model by more.
const modelSpread = 0.05

// Told says whether the record tells the figure. One that ran into a bound is where
// nothing fits better, whatever its spread.
func (f *Fitted) Told() bool {
	bound := math.Abs(math.Log(f.Value/f.Assumed)) > mostLog-1e-3 || f.most > 0 && f.Value > f.most-1e-3
	return !bound && f.Spread <= doubtful*f.Value
}

// words are the figure with what was assumed.
func (f *Fitted) words() string {
	unit := f.Unit
	if unit != "" {
		unit = " " + unit
	}
	if !f.Told() {
		return fmt.Sprintf("the record does not tell it; %.3g%s is assumed", f.Assumed, unit)
	}
	return fmt.Sprintf("%.3g%s, give or take %.2g; %.3g%s was assumed", f.Value, unit, f.Spread, f.Assumed, unit)
}

// mostEta is the most that glass and absorber can take in.
const mostEta = 1

// unknowns are the figures that are fitted.
func unknowns() []Fitted {
	return []Fitted{
		{Name: "loss of the tank", Unit: "W/K", of: func(c *plant.Config) *float64 { return &c.TankUAWK }},
		{Name: "optical efficiency of the collector", most: mostEta, of: func(c *plant.Config) *float64 { return &c.Collector.Eta0 }},
		{Name: "loss of the collector", Unit: "W/(m² K)", of: func(c *plant.Config) *float64 { return &c.Collector.A1WM2K }},
		{Name: "heat transfer of the coil", Unit: "W/K", of: func(c *plant.Config) *float64 { return &c.CoilUAWK }},
	}
}

// How far a simulated plant may be from a reading before that counts as much as
// another: steadier readings count more. Common practice, no source.
const (
	topScaleK     = 0.3
	bottomScaleK  = 1.0 // below the coil the water is colder than any probe tells
	pumpedScaleK  = 0.5 // of a collector whose pump runs
	restingScaleK = 3.0
	// fitStep is the simulated plant's step, and compareEvery how often it is held
	// against the record, once settleFor is over: the loop begins as cold as the
	// tank's bottom.
	fitStep      = 20 * time.Second
	compareEvery = 10 * time.Minute
	settleFor    = 40 * time.Minute
	// leastWindows is how many whiles without draws it takes.
	leastWindows = 8
	leastDays    = 5 // on which they begin: fewer don't tell how far days are apart
)

// fitter holds simulated plants against a record.
type fitter struct {
	record  *Record
	traces  traces
	system  int
	config  sim.Config
	figures []Fitted
	windows []window
}

// Fit fits a system of a site to a record, with the weather that there was.
func Fit(s *site.Site, system int, r *Record, sky weather.Source) ([]Fitted, error) {
	t, ok := tracesOf(&s.Plan, r, system)
	if !ok {
		return nil, fmt.Errorf("it takes probes at the collector, at the top and at the bottom of the tank")
	}
	t.fastestFallK, t.least = fastestFallK, leastWindow
	wanted := leastWindows
	if s.Systems[system].Store == site.LoopFluid {
		t.fastestFallK, t.least, t.layered = fastestChillK, leastLayered, true
		wanted = leastDays // one of them lasts a day
	}
	f := &fitter{record: r, traces: t, system: system, figures: unknowns(), windows: t.windows(r)}
	if len(f.windows) < wanted {
		return nil, fmt.Errorf("there were %d whiles of %.3g h without draws, and it takes %d: give a longer record, best of days on which nobody was at home", len(f.windows), t.least.Hours(), wanted)
	}
	var err error
	if f.config, err = twin.Config(s, twin.Options{Weather: sky, Start: r.begin(), Step: fitStep}); err != nil {
		return nil, err
	}
	f.config.Household, f.config.Probes, f.config.SkySlot = nil, nil, 5*time.Minute
	f.config.Mains = physics.MainsWater{MeanAirC: 10} // nobody draws
	f.config.Systems = f.config.Systems[system : system+1]
	f.config.Systems[0].DrawShare, f.config.DrawsInSeries = 0, false
	for i := range f.figures {
		f.figures[i].Assumed = *f.figures[i].of(&f.config.Systems[0].Plant)
	}
	f.figures = slices.DeleteFunc(f.figures, func(x Fitted) bool { return x.Assumed == 0 }) // a store of loop fluid has no coil of the sun's
	if days := len(f.blocks()); days < leastDays {
		return nil, fmt.Errorf("the whiles without draws are of %d days, and it takes %d: give a longer record", days, leastDays)
	}
	return f.fit()
}

// fit finds the figures, and how far they spread.
func (f *fitter) fit() ([]Fitted, error) {
	const rounds = 12
	best := make([]float64, len(f.figures))
	n := 0
	for _, w := range f.windows {
		n += 3 * f.compared(w)
	}
	off, slope := leastSquares(best, n, rounds, func(x, into []float64) {
		at := into
		for _, w := range f.windows {
			at = f.hold(x, w, at)
		}
	})
	for k, spread := range leftOut(slope, off, f.blocks()) {
		fig := &f.figures[k]
		fig.Value = fig.Assumed * math.Exp(best[k])
		fig.Spread = fig.Value * math.Hypot(spread, modelSpread)
	}
	return f.figures, nil
}

// blocks are where the comparisons of each day end among all of them. What is off
// stays off for hours, and what the weather's source got wrong for a day, so that
// single comparisons tell far less than they are many: days are taken as independent.
func (f *fitter) blocks() (ends []int) {
	end, day := 0, 0
	for i, w := range f.windows {
		at := f.record.starts[w.from] + int64(f.config.Weather.Place().LongitudeDeg*240) // by the sun
		if is := int(at / 86400); i == 0 || is != day {
			ends, day = append(ends, end), is
		}
		end += 3 * f.compared(w)
		ends[len(ends)-1] = end
	}
	return ends
}

// compared is how often a window is held against the record.
func (f *fitter) compared(w window) int {
	return max(0, w.to-w.from-1-int(settleFor/time.Minute)) / int(compareEvery/time.Minute)
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
	rise := (f.traces.top[w.from] - f.traces.bottom[w.from]) / max(p.TopProbeHeight-p.BottomProbeHeight, 0.1)
	p.StartC = f.traces.bottom[w.from] - rise*p.BottomProbeHeight
	p.StartTopC = p.StartC + rise
	house, err := sim.New(c)
	if err != nil { // a figure beyond what can be: as far off as can be
		for i := range 3 * f.compared(w) {
			into[i] = 1e3
		}
		return into[3*f.compared(w):]
	}
	left := f.compared(w)
	for i := w.from; left > 0; i++ {
		// A probe lags by half a minute, so that a minute's mean is what was so when
		// the minute began.
		truth := house.Truth(0)
		for at := time.Duration(0); at < time.Minute; at += fitStep {
			house.SetPump(0, drivenAt(f.traces.pump, i, at+fitStep/2))
			house.Step(fitStep)
		}
		if since := i - w.from - int(settleFor/time.Minute); since <= 0 || since%int(compareEvery/time.Minute) != 0 {
			continue
		}
		into[0] = (truth.TankTopC - f.traces.top[i]) / topScaleK
		into[1] = (truth.TankBottomC - f.traces.bottom[i]) / bottomScaleK
		into[2] = (truth.CollectorC - f.traces.collector[i]) / f.collectorScale(i)
		into, left = into[3:], left-1
	}
	return into
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
