package sizing

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"
	"time"

	"sunstoker/planner"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// outcome is what a year with an option came to.
type outcome struct {
	*fitting
	site *site.Site
	year *planner.Year

	share       float64 // of the heat brought into the tanks, 0 to 1
	flattering  bool    // it would be points lower, had the meter made up for what came too cold
	asked       float64 // kWh at the taps
	dayL        float64 // drawn on a mean day, at 60 °C over cold water of 10 °C
	meterKWh    float64 // heater
	pumpKWh     float64
	draws, cold int
	coldDays    int // with a draw that was not warm enough
	shortShare  float64
	stagnationH float64
	trips       int     // of heaters' cut-outs
	chart       float64 // solar share of demand by the published correlation
	chartError  error   // why there is none

	cost, savedKWh, savedYearly, yearly, whole, payback float64
}

// money adds up what an option costs. Saved is what a heater would have taken that
// makes the same water hot and loses nothing on the way, less what heater and pump
// took: so the loss of a tank that there would be anyway speaks against the option.
// Nothing is reckoned of interest, of prices that rise, or of what wears out.
func (o *outcome) money(w *site.Wish) {
	p, n := &w.Prices, float64(o.systems)
	rest := p.Pumped.Amount
	if o.natural() {
		rest = p.Natural.Amount
	}
	o.cost = p.House.Amount + n*(p.Tank.Amount+p.TankLitre.Amount*o.tankL+p.CollectorM2.Amount*o.areaM2()+rest)
	price := w.House.Electricity.PerKWh
	o.savedKWh = o.asked*(1-o.shortShare) - o.meterKWh - o.pumpKWh
	o.yearly = n*p.YearlyService.Amount + price*(o.meterKWh+o.pumpKWh)
	o.savedYearly = price*o.savedKWh - n*p.YearlyService.Amount
	o.whole = o.cost + float64(p.Years)*o.yearly
	o.payback = math.Inf(1)
	if o.savedYearly > 0 {
		o.payback = o.cost / o.savedYearly
	}
}

// objection is what speaks against an option. The later ones weigh more: money is a
// matter of opinion, cold water is not, and a heater that is gone until somebody
// climbs up to it is worse.
type objection int

const (
	overBudget objection = iota + 1
	tooCold
	opensCutOut
)

func (o objection) words() string {
	switch o {
	case overBudget:
		return "over the budget"
	case tooCold:
		return fmt.Sprintf("more than %.0f %% of the wanted heat comes too cold", 100*mostShortShare)
	}
	return "the sun opens a heater's cut-out"
}

// against is all that speaks against an option, the worst first.
func (o *outcome) against(w *site.Wish) (all []objection) {
	if o.trips > 0 {
		all = append(all, opensCutOut)
	}
	if o.shortShare > mostShortShare {
		all = append(all, tooCold)
	}
	if o.overBudget(w) {
		all = append(all, overBudget)
	}
	return all
}

func (o *outcome) overBudget(w *site.Wish) bool {
	return w.Prices.Budget.Currency != "" && o.cost > w.Prices.Budget.Amount
}

// worst is the gravest objection; 0 when there is none.
func (o *outcome) worst(w *site.Wish) objection {
	if all := o.against(w); len(all) > 0 {
		return all[0]
	}
	return 0
}

// againstWords is all that speaks against an option, or nothing.
func (o *outcome) againstWords(w *site.Wish) string {
	var words []string
	for _, x := range o.against(w) {
		words = append(words, x.words())
	}
	return strings.Join(words, ", and ")
}

// watch sees what a year does not write down.
type watch struct {
	correlation *planner.Correlation
	day, cold   int // of the year; draws too cold so far
	coldDays    int
	litres      float64 // drawn so far
	heatJ       float64 // of them, more than above the cold water, had that been as planned
	zone        *time.Location
}

func (s *watch) see(r *planner.Run) {
	s.correlation.See(r)
	used := r.House.Usage()
	if used.Litres != s.litres {
		const one = jouleOfLitre / (planningHotC - planningColdC)
		s.heatJ += one * (used.Litres - s.litres) * (r.House.ColdC() - planningColdC)
		s.litres = used.Litres
	}
	if used.ShortDraws == s.cold {
		return
	}
	s.cold = used.ShortDraws
	if day := r.House.Now().In(s.zone).YearDay(); day != s.day {
		s.day = day
		s.coldDays++
	}
}

// trial is what all options go through.
type trial struct {
	wish   *site.Wish
	sky    weather.Source
	start  time.Time
	step   time.Duration
	seed   uint64
	months int
}

// run runs a year of every option, on all processors. When ctx ends it is an error.
func (t *trial) run(ctx context.Context, options []option, stderr io.Writer) ([]*outcome, error) {
	outcomes := make([]*outcome, len(options))
	watches := make([]*watch, len(options))
	jobs := make([]planner.Job, len(options))
	bar, end := planner.ProgressOn(stderr, fmt.Sprintf("trying %d options", len(options)))
	defer end()
	progress := together(len(options), bar)
	for i, o := range options {
		f, err := fit(t.wish, o)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", o.words(), err)
		}
		s, err := site.Parse(f.words(), []byte(siteText(t.wish, f, nil)))
		if err != nil {
			return nil, fmt.Errorf("the site file of %s is not in order, which is a fault of this program: %w", f.words(), err)
		}
		outcomes[i] = &outcome{fitting: f, site: s}
		jobs[i] = planner.Job{
			Site:     s,
			Options:  planner.RunOptions{Weather: t.sky, Start: t.start, Step: t.step, Seed: t.seed, Months: t.months},
			Progress: progress(i),
			Observers: func(r *planner.Run) []func(*planner.Run) {
				watches[i] = &watch{correlation: planner.NewCorrelation(r), zone: s.Zone}
				return []func(*planner.Run){watches[i].see}
			},
		}
	}
	for i, r := range planner.Sweep(ctx, jobs, 0) {
		if ctx.Err() != nil {
			return nil, errors.New("called off before all options were through; nothing was written")
		}
		if r.Err != nil {
			return nil, fmt.Errorf("%s: the simulation ended early: %w", options[i].words(), r.Err)
		}
		outcomes[i].take(r.Year, watches[i])
		outcomes[i].money(t.wish)
	}
	return outcomes, nil
}

// together makes one progress of many, which come from several goroutines.
func together(n int, tell func(float64)) func(i int) func(float64) {
	if tell == nil {
		return func(int) func(float64) { return nil }
	}
	var lock sync.Mutex
	parts, sum := make([]float64, n), 0.0
	return func(i int) func(float64) {
		return func(done float64) {
			lock.Lock()
			defer lock.Unlock()
			sum += done - parts[i]
			parts[i] = done
			tell(sum / float64(n))
		}
	}
}

// take writes down what came of a year.
func (o *outcome) take(y *planner.Year, seen *watch) {
	t := y.Total()
	o.year, o.coldDays, o.trips = y, seen.coldDays, len(y.Trips)
	o.share, o.asked, o.meterKWh, o.pumpKWh = t.SolarShare(), t.AskedKWh, t.FromMeterKWh, t.PumpKWh+t.CirculationPumpKWh
	o.flattering = t.Flattering()
	o.draws, o.cold, o.stagnationH = t.Draws, t.ShortDraws, t.StagnationHours
	if t.AskedKWh > 0 {
		o.shortShare = t.ShortKWh / t.AskedKWh
	}
	days := 0.0
	for i := range y.Months {
		days += math.Round(y.Months[i].Start.AddDate(0, 1, 0).Sub(y.Months[i].Start).Hours() / 24)
	}
	o.dayL = (o.asked*jouleOfKWh + seen.heatJ) / jouleOfLitre / days
	o.chart, o.chartError = seen.correlation.Share(y, heaterStopC, func(m *planner.Month) float64 { return m.AskedKWh + m.LossKWh() })
}
