package dashboard

import (
	"context"
	"time"

	"sunstoker/history"
)

// EnergyShown is heat and electricity, added up by hours, days, months or years of
// the house's civil time.
type EnergyShown struct {
	Trouble string        `json:"trouble"` // why nothing is written now; empty when all is well
	By      string        `json:"by"`      // "hour", "day", "month" or "year"
	Series  []SeriesShown `json:"series"`
	Periods []PeriodShown `json:"periods"` // those in which the program did not run are left out
}

// PeriodShown is what one period came to.
type PeriodShown struct {
	Begin   time.Time `json:"begin"`           // civil time of the house
	Watched float64   `json:"watched_seconds"` // for which the program ran in it
	Sums    figures   `json:"sums_j"`          // one for each series
}

// periods are what can be added up over, with the most days of each that can be
// asked for at once.
var periods = []struct {
	by       history.Period
	mostDays int
}{
	{history.Hourly, 62},
	{history.Daily, 2 * 366},
	{history.Monthly, mostDays},
	{history.Yearly, mostDays},
}

func readEnergy(ctx context.Context, q *question) (any, error) {
	if err := q.query.only([]string{"from", "to", "by"}); err != nil {
		return nil, err
	}
	var words []string
	for _, p := range periods {
		words = append(words, p.by.String())
	}
	at, err := oneOf("by", q.query.values.Get("by"), words)
	if err != nil {
		return nil, err
	}
	from, to, err := q.query.between(periods[at].mostDays)
	if err != nil {
		return nil, err
	}
	sheet, err := q.history.Energy(ctx, from, to, periods[at].by, q.zone)
	if err != nil {
		return nil, err
	}
	shown := EnergyShown{Trouble: q.trouble, By: words[at], Series: []SeriesShown{}, Periods: []PeriodShown{}}
	for i := range sheet.Series {
		shown.Series = append(shown.Series, seriesOf(&sheet.Series[i]))
	}
	for i := range sheet.Periods {
		p := &sheet.Periods[i]
		shown.Periods = append(shown.Periods, PeriodShown{p.Begin, float64(p.Seconds), figures{p.Sums, 1}})
	}
	return shown, nil
}
