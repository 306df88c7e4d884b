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
	moving     bool    // it shows only while the loop carries heat
	of         func(*plant.Config) *float64
	key        string                // of the site file, with the table that it stands under
	toKey      func(float64) float64 // in that key's unit; nil where it is the figure's own
}

// doubtful is the spread, as a share of the figure, from which on the record does not
// tell it: what is told is to be right within a tenth. Apart from modelSpread, that is
// 4 %.
const doubtful = 0.064

// modelSpread is the least spread, as a share of the figure, however well the days of
// a record agree. What is wrong in the same way on every day no day can tell by being
// left out: how quickly probes follow, means of a minute in place of moments, beams
// that are even for an hour. In simulated plants figures come out up to 5 % off, where
// the days agree within 2 %. A real plant differs from its model by more.
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

// keyWords is how the figure is written into the site file.
func (f *Fitted) keyWords() string {
	v := f.Value
	if f.toKey != nil {
		v = f.toKey(v)
	}
	return fmt.Sprintf(f.key, v)
}

// mostEta is the most that glass and absorber can take in.
const mostEta = 1

// unknowns are the figures that are fitted.
func unknowns() []Fitted {
	return []Fitted{
		{Name: "loss of the tank", Unit: "W/K", of: func(c *plant.Config) *float64 { return &c.TankUAWK },
			key: `loss = "%.3g W/K" under [system.tank]`},
		{Name: "optical efficiency of the collector", most: mostEta, of: func(c *plant.Config) *float64 { return &c.Collector.Eta0 },
			key: `optical_efficiency = "%.3g %%" under [system.collector]`, toKey: func(v float64) float64 { return 100 * v }},
		{Name: "loss of the collector", Unit: "W/(m² K)", of: func(c *plant.Config) *float64 { return &c.Collector.A1WM2K },
			key: `loss = "%.3g W/(m² K)" under [system.collector]`},
		{Name: "heat transfer of the coil", Unit: "W/K", moving: true, of: func(c *plant.Config) *float64 { return &c.CoilUAWK },
			key: `coil_area = "%.3g m²" under [system.tank_fittings]`, toKey: twin.CoilAreaM2},
	}
}

const (
	// together is for how long what is off stays off: as many comparisons count as one.
	together     = 2 * time.Hour
	leastWindows = 5 // fewer days don't tell how far they are apart
	// leastMoved is how long the loop must have carried heat for what shows only then.
	// Else a coil is fitted to how the water lies after it was heated unseen, which
	// any transfer explains about as well.
	leastMoved = 2 * time.Hour
)

// fitter holds simulated plants against a record.
type fitter struct {
	record  *Record
	traces  traces
	system  int
	config  sim.Config
	figures []Fitted
	windows []window
	start   start         // otherwise than probes tell
	starts  [][][]float64 // directions of each part, see learnStarts
}

// start is how the water of a tank lies when a window begins, otherwise than a straight
// line through its probes.
type start struct{ warmerK, steeperK float64 }

// Fit fits a system of a site to a record, with the weather that there was.
func Fit(s *site.Site, system int, r *Record, sky weather.Source) ([]Fitted, error) {
	t, ok := tracesOf(&s.Plan, r, system)
	if !ok {
		return nil, fmt.Errorf("it takes probes at the collector, at the top and at the bottom of the tank")
	}
	t.fastestFallK = fastestFallK
	if s.Systems[system].Store == site.LoopFluid {
		t.fastestFallK = fastestChillK
	}
	f := &fitter{record: r, traces: t, system: system, figures: unknowns(), windows: t.windows(r)}
	if len(f.windows) < leastWindows {
		return nil, fmt.Errorf("it takes %d days in which nobody drew water and the backup heater was off, each after another such day, and the record holds %d: give a longer record, best with a week in which nobody was at home and the heater could rest", leastWindows, len(f.windows))
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
	return f.fit()
}

// fit finds the figures, and how far they spread.
func (f *fitter) fit() ([]Fitted, error) {
	const rounds = 12
	best := make([]float64, len(f.figures))
	f.learnStarts(best)
	off, slope := leastSquares(best, f.comparisons(), rounds, func(x, into []float64) {
		f.holdAll(x, into)
		f.eachPart(into, func(k int, of []float64) { takeOut(of, f.starts[k]) })
	})
	byDays, byScatter := leftOut(slope, off, f.blocks()), scattered(slope, off, int(together/compareEvery))
	for k := range f.figures {
		fig := &f.figures[k]
		fig.Value = fig.Assumed * math.Exp(best[k])
		fig.Spread = f.spread(fig, max(byDays[k], byScatter[k]))
	}
	return f.figures, nil
}

// spread is a figure's, of which what days and scatter tell is given as a share.
func (f *fitter) spread(fig *Fitted, told float64) float64 {
	if fig.moving && f.movedFor() < leastMoved {
		return math.Inf(1)
	}
	return fig.Value * math.Hypot(told, modelSpread)
}

// movedFor is how long the loop carried heat in what is compared.
func (f *fitter) movedFor() time.Duration {
	minutes := 0.0
	for _, w := range f.windows {
		for _, p := range w.parts {
			for i := p.from; i < p.to; i++ {
				minutes += f.traces.moves(i)
			}
		}
	}
	return time.Duration(minutes * float64(time.Minute))
}

// comparisons is how many there are.
func (f *fitter) comparisons() (n int) {
	for _, w := range f.windows {
		for _, p := range w.parts {
			n += p.comparisons()
		}
	}
	return n
}

// comparisons is how many there are of all readings.
func (p part) comparisons() int {
	return 3 * ((p.to - p.from + minutesOf(compareEvery) - 1) / minutesOf(compareEvery))
}

// blocks are where the comparisons of each window end among all of them. What is off
// stays off for hours, and what the weather's source got wrong for a day, so that
// single comparisons tell far less than they are many: windows, which are days, are
// taken as independent.
func (f *fitter) blocks() (ends []int) {
	end := 0
	for _, w := range f.windows {
		for _, p := range w.parts {
			end += p.comparisons()
		}
		ends = append(ends, end)
	}
	return ends
}

// eachPart gives the comparisons of one part after the other.
func (f *fitter) eachPart(all []float64, do func(k int, of []float64)) {
	k := 0
	for _, w := range f.windows {
		for _, p := range w.parts {
			do(k, all[:p.comparisons()])
			all = all[p.comparisons():]
			k++
		}
	}
}

// learnStarts finds out how each part would be off if its window began with a tank
// that is warmer, or one whose top is warmer by more. As much of both as one likes is
// not held against a plant: nobody knows how the water lay between and below the
// probes, how warm the pipes were, nor how much came while clouds passed.
func (f *fitter) learnStarts(x []float64) {
	const nudgeK = 0.5
	base := make([]float64, f.comparisons())
	f.holdAll(x, base)
	for _, other := range []start{{warmerK: nudgeK}, {steeperK: nudgeK}} {
		off := make([]float64, len(base))
		f.start = other
		f.holdAll(x, off)
		for i := range off {
			off[i] -= base[i]
		}
		f.eachPart(off, func(k int, of []float64) {
			if k == len(f.starts) {
				f.starts = append(f.starts, nil)
			}
			f.starts[k] = withDirection(f.starts[k], of)
		})
	}
	f.start = start{}
}
