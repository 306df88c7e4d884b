package dashboard

import (
	"context"
	"math"
	"strconv"
	"strings"

	"sunstoker/history"
)

// SeriesShown is a figure that is kept over time.
type SeriesShown struct {
	Series string `json:"series"` // as it is asked for: "roof/tank_top", of the house "outdoor_air"
	System string `json:"system"` // empty for the house
	Name   string `json:"name"`   // "tank_top", "loop_pump", "hot_water", "sun_heat"
	Words  string `json:"words"`  // "tank top"; empty for what is no place and no actuator
	Unit   string `json:"unit"`   // empty for a level from 0 to 1
	Sum    bool   `json:"sum"`    // an amount, which adds up over time; else it has a mean, a lowest and a highest value
}

func seriesOf(s *history.Series) SeriesShown {
	return SeriesShown{Series: seriesText(s), System: s.System, Name: s.Name, Words: partWords(s.Name), Unit: s.Unit, Sum: s.Sum}
}

// seriesText is a series in one text; its name has no slash in it, a system's may.
func seriesText(s *history.Series) string {
	if s.System == "" {
		return s.Name
	}
	return s.System + "/" + s.Name
}

// ChartShown is a part of the past, as fine as it was asked for.
type ChartShown struct {
	Trouble string      `json:"trouble"`      // why nothing is written now; empty when all is well
	Span    float64     `json:"span_seconds"` // of a point
	Starts  []int64     `json:"starts"`       // of points, Unix seconds; spans in which the program did not run are left out
	Sure    []bool      `json:"sure"`         // the clock was trusted all the time
	Lines   []LineShown `json:"lines"`
}

// LineShown is a series with a figure for each point; null where it was not known.
type LineShown struct {
	SeriesShown
	Mean   figures `json:"mean"` // empty for an amount, as low and high
	Low    figures `json:"low"`
	High   figures `json:"high"`
	Amount figures `json:"amount"` // empty for what is none
}

// figures are written with no more decimals than are kept, and what is not known
// as null.
type figures struct {
	values []float64
	steps  float64 // of a unit
}

// MarshalJSON implements [json.Marshaler].
func (f figures) MarshalJSON() ([]byte, error) {
	to := []byte{'['}
	for i, v := range f.values {
		if i > 0 {
			to = append(to, ',')
		}
		to = appendFigure(to, v, f.steps)
	}
	return append(to, ']'), nil
}

func appendFigure(to []byte, v, steps float64) []byte {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return append(to, "null"...)
	}
	return strconv.AppendFloat(to, rounded(v, steps), 'f', -1, 64)
}

func rounded(v, steps float64) float64 {
	if steps <= 0 {
		return v
	}
	return math.Round(v*steps) / steps
}

// Bounds of a chart.
const (
	usualPoints = 500
	leastPoints = 2
	mostPoints  = 2000
	mostSeries  = 32
	mostDays    = 40 * 366 // of all that can be asked for at once
)

func readChart(ctx context.Context, q *question) (any, error) {
	if err := q.query.only([]string{"from", "to", "points"}, "series"); err != nil {
		return nil, err
	}
	from, to, err := q.query.between(mostDays)
	if err != nil {
		return nil, err
	}
	points, err := q.query.whole("points", usualPoints, leastPoints, mostPoints)
	if err != nil {
		return nil, err
	}
	series, err := q.series(ctx)
	if err != nil {
		return nil, err
	}
	chart, err := q.history.Chart(ctx, history.Wanted{From: from, To: to, Points: points, Series: series})
	if err != nil {
		return nil, err
	}
	shown := ChartShown{Trouble: q.trouble, Span: chart.Span.Seconds(), Starts: chart.Starts, Sure: chart.Sure, Lines: []LineShown{}}
	if shown.Starts == nil {
		shown.Starts, shown.Sure = []int64{}, []bool{}
	}
	for i := range chart.Lines {
		l := &chart.Lines[i]
		of := func(values []float64) figures { return figures{values, l.Steps} }
		shown.Lines = append(shown.Lines, LineShown{seriesOf(&l.Series), of(l.Mean), of(l.Low), of(l.High), of(l.Amount)})
	}
	return shown, nil
}

// series are those that are asked for; none stands for all.
func (q *question) series(ctx context.Context) ([]history.Series, error) {
	names, err := q.query.several("series", mostSeries)
	if err != nil {
		return nil, err
	}
	kept, err := q.history.Series(ctx)
	if err != nil {
		return nil, err
	}
	byName := map[string]history.Series{}
	for _, s := range kept {
		byName[seriesText(&s)] = s
	}
	var wanted []history.Series
	for _, name := range names {
		s, is := byName[name]
		if !is {
			return nil, malformed(`"series": there is none that is called %q. /api/history lists them.`, shortened(strings.TrimSpace(name)))
		}
		wanted = append(wanted, s)
	}
	return wanted, nil
}
