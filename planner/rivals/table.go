package rivals

import (
	"context"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"text/tabwriter"
	"time"

	"sunstoker/control"
)

// Names of the rivals, in the order of the table.
const (
	allDay       = "thermostat"
	usualWindows = "usual windows"
	bestWindows  = "best windows"
	sunFirst     = "sun first"
	toldSun      = "sun first, light foretold" // not in every table, either
	byOdds       = "odds of draws"             // no controller, and not in every table
)

var rivalNames = []string{allDay, usualWindows, bestWindows, sunFirst}

// Row is one case of the table.
type Row struct {
	Case     Case
	AskedKWh float64
	// The latest start with everything known, and with the draws alone known.
	Foresight, DrawsForeseen Outcome
	Odds                     Curve // of the latest start by the odds of draws; may be empty
	At                       []Reading
	Windows                  map[string]control.Windows // by rival
	Points                   []Trial                    // the rivals' curves
	Took                     time.Duration
}

// Reading is the electricity of a case in kWh at one of Targets.
type Reading struct {
	Missed float64
	Bound  float64
	Rival  map[string]float64 // by name; NaN where not reached
}

// Trial is one run of a case.
type Trial struct {
	Rival string
	Point
}

// compare runs everybody through a case.
func (l *lab) compare(ctx context.Context, c Case, o Options) (*Row, error) {
	began := time.Now()
	g, err := newGround(c)
	if err != nil {
		return nil, err
	}
	bound, err := g.newBound(ctx)
	if err != nil {
		return nil, err
	}
	row := &Row{Case: c, AskedKWh: bound.askedKWh, Windows: map[string]control.Windows{}}
	if err := l.watchFilms(ctx, row, g, o.OddsYears); err != nil {
		return nil, err
	}
	curves := map[string]Curve{}
	for name, s := range map[string]*sweep{
		allDay: temperatures(thermostat), sunFirst: sureties(),
		bestWindows: atWindows(row.Windows[bestWindows]), usualWindows: atWindows(row.Windows[usualWindows]),
	} {
		if curves[name], err = l.curve(ctx, g, s); err != nil {
			return nil, err
		}
	}
	if o.Foretold {
		told := *g
		told.foretold = true
		if curves[toldSun], err = l.curve(ctx, &told, sureties()); err != nil {
			return nil, err
		}
	}
	row.read(bound, curves, o.names())
	row.Took = time.Since(began)
	return row, nil
}

// watchFilms finds what needs no controller: foresight, the odds of draws in so many
// years, and the windows.
func (l *lab) watchFilms(ctx context.Context, r *Row, g *ground, oddsYears int) error {
	before, err := newGround(g.lastYear())
	if err != nil {
		return err
	}
	for _, year := range []struct {
		name string
		*ground
	}{{bestWindows, g}, {usualWindows, before}} {
		film, err := year.newFilm(ctx)
		if err != nil {
			return err
		}
		if r.Windows[year.name], err = film.searchWindows(ctx); err != nil {
			return err
		}
		if year.name != bestWindows {
			continue
		}
		if r.Foresight, err = film.latestStart(ctx, true); err != nil {
			return err
		}
		if r.DrawsForeseen, err = film.latestStart(ctx, false); err != nil {
			return err
		}
		if oddsYears > 0 {
			if r.Odds, err = l.odds(ctx, g, film, oddsYears); err != nil {
				return err
			}
		}
	}
	return nil
}

// read writes down the curves and reads them at the targets.
func (r *Row) read(bound *Bound, curves map[string]Curve, names []string) {
	startKWh := 0.0
	for _, p := range r.Odds {
		r.Points = append(r.Points, Trial{byOdds, p})
	}
	for _, name := range names {
		for _, p := range curves[name] {
			r.Points = append(r.Points, Trial{name, p})
			startKWh = max(startKWh, p.StartKWh)
		}
	}
	// Windows that were found for another year may by chance do better in this
	// one than those that the film found for it; nobody is kept from them.
	curves[bestWindows] = append(slices.Clone(curves[bestWindows]), curves[usualWindows]...)
	for _, missed := range Targets {
		at := Reading{Missed: missed, Bound: bound.At(missed, startKWh), Rival: map[string]float64{}}
		for _, name := range names {
			at.Rival[name] = curves[name].At(missed)
		}
		r.At = append(r.At, at)
	}
}

// CommonSetC is what people set a thermostat to, in degC.
const CommonSetC = 55

// common is the run of the all-day thermostat at CommonSetC; it is as
// comfortable as it happens to be.
func (r *Row) common() Outcome {
	i := slices.IndexFunc(r.Points, func(t Trial) bool { return t.Rival == allDay && t.Setting == CommonSetC })
	return r.Points[i].Outcome
}

// Options are what a table may hold beside the rivals.
type Options struct {
	// OddsYears is how many other years of the same people tell the odds of draws to a
	// latest start that knows all else; 0 leaves it out. It takes longer than all else.
	OddsYears int
	// Foretold adds the controller's own rule with a forecast file that is always
	// right: all that a forecast can bring it.
	Foretold bool
}

// names are the rivals of the table, in its order.
func (o Options) names() []string {
	if o.Foretold {
		return append(slices.Clone(rivalNames), toldSun)
	}
	return rivalNames
}

// Table runs cases, tells on the way how far it is, and writes the table.
func Table(ctx context.Context, w io.Writer, all []Case, o Options) ([]*Row, error) {
	l := newLab()
	var rows []*Row
	for i, c := range all {
		row, err := l.compare(ctx, c, o)
		if err != nil {
			return rows, err
		}
		rows = append(rows, row)
		fmt.Fprintf(w, "%d of %d: %s, %.0f kWh wanted, windows usual %v, best %v, %.0f s\n",
			i+1, len(all), c.Name(), row.AskedKWh, row.Windows[usualWindows], row.Windows[bestWindows], row.Took.Seconds())
		for at := range row.At {
			fmt.Fprintf(w, "  %.1f %% missed:", 100*row.At[at].Missed)
			for _, c := range o.columns() {
				fmt.Fprintf(w, "  %s %s", c.title, kWhText(c.kWh(row, &row.At[at])))
			}
			fmt.Fprintln(w)
		}
	}
	fmt.Fprintln(w)
	return rows, writeTable(w, rows, o)
}

// column is a column of the table: electricity in kWh.
type column struct {
	title string
	kWh   func(r *Row, at *Reading) float64
}

func (o Options) columns() []column {
	all := []column{
		{"bound", func(_ *Row, at *Reading) float64 { return at.Bound }},
		{"foresight", func(r *Row, _ *Reading) float64 { return r.Foresight.HeaterKWh }},
		{"of draws alone", func(r *Row, _ *Reading) float64 { return r.DrawsForeseen.HeaterKWh }},
	}
	if o.OddsYears > 0 {
		all = append(all, column{byOdds, func(r *Row, at *Reading) float64 { return r.Odds.At(at.Missed) }})
	}
	for _, name := range o.names() {
		all = append(all, column{name, func(_ *Row, at *Reading) float64 { return at.Rival[name] }})
	}
	return append(all, column{fmt.Sprintf("thermostat at %d °C", CommonSetC), func(r *Row, _ *Reading) float64 { return r.common().HeaterKWh }})
}

// writeTable writes a line for each house, over its seeds, and the ratios over all
// cases.
func writeTable(w io.Writer, rows []*Row, o Options) error {
	if len(rows) == 0 {
		return nil
	}
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for i, missed := range Targets {
		fmt.Fprintf(t, "Electricity in kWh a year with %.1f %% missed: the middle, and from the least to the most\n", 100*missed)
		for _, c := range o.columns() {
			fmt.Fprintf(t, "\t%s", c.title)
		}
		fmt.Fprintln(t)
		for _, house := range byHouse(rows) {
			fmt.Fprint(t, house[0].Case.Name())
			for _, c := range o.columns() {
				fmt.Fprint(t, "\t", spreadOf(house, func(r *Row) float64 { return c.kWh(r, &r.At[i]) }).text("%.0f"))
			}
			fmt.Fprintln(t)
		}
		for _, by := range o.columns() {
			fmt.Fprintf(t, "by %s", by.title)
			for _, c := range o.columns() {
				fmt.Fprint(t, "\t", spreadOf(rows, func(r *Row) float64 { return c.kWh(r, &r.At[i]) / by.kWh(r, &r.At[i]) }).text("%.2f"))
			}
			fmt.Fprintln(t)
		}
		fmt.Fprintln(t)
	}
	return t.Flush()
}

// byHouse puts the rows of one house together: they differ by their seeds.
func byHouse(rows []*Row) (houses [][]*Row) {
	for _, r := range rows {
		same := func(h []*Row) bool { return h[0].Case.Name() == r.Case.Name() }
		if i := slices.IndexFunc(houses, same); i >= 0 {
			houses[i] = append(houses[i], r)
		} else {
			houses = append(houses, []*Row{r})
		}
	}
	return houses
}

func kWhText(kWh float64) string { return spread{kWh}.text("%.0f") }

// spread are the figures of some cases; NaN where one is not reached.
type spread []float64

func spreadOf(rows []*Row, figure func(*Row) float64) (s spread) {
	for _, r := range rows {
		s = append(s, figure(r))
	}
	return s
}

// text is the middle, the least and the most, and how many cases have a figure at
// all.
func (s spread) text(format string) string {
	some := slices.DeleteFunc(slices.Clone(s), func(x float64) bool { return math.IsNaN(x) || math.IsInf(x, 0) })
	if len(some) == 0 {
		return "not reached"
	}
	slices.Sort(some)
	n := len(some)
	text := fmt.Sprintf(format, (some[(n-1)/2]+some[n/2])/2)
	if n > 1 {
		text += fmt.Sprintf(" ("+format+" to "+format+")", some[0], some[n-1])
	}
	if n < len(s) {
		text += fmt.Sprintf(", %d of %d", n, len(s))
	}
	return text
}

// WritePoints writes every run of the rivals as CSV: temperatures in degC,
// sureties in nines (2 is 99 %), energies in kWh of the counted year.
func WritePoints(w io.Writer, rows []*Row) error {
	out := csv.NewWriter(w)
	header := []string{"case", "rival", "windows", "setting", "missed_share", "heater_kWh", "sun_kWh", "tank_loss_kWh", "pump_kWh", "pump_starts_per_day"}
	if err := out.Write(header); err != nil {
		return err
	}
	for _, r := range rows {
		for _, p := range r.Points {
			line := []string{r.Case.Name(), p.Rival, ""}
			if hours, ok := r.Windows[p.Rival]; ok {
				line[2] = hours.String()
			}
			for _, x := range []float64{p.Setting, p.Missed, p.HeaterKWh, p.SunKWh, p.LossKWh, p.PumpKWh, p.Starts} {
				line = append(line, strconv.FormatFloat(x, 'g', 5, 64))
			}
			if err := out.Write(line); err != nil {
				return err
			}
		}
	}
	out.Flush()
	return out.Error()
}
