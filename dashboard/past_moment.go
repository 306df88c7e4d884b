package dashboard

import (
	"context"
	"time"

	"sunstoker/history"
)

// MomentShown is what was measured and what counted at an instant.
type MomentShown struct {
	Trouble string        `json:"trouble"`         // why nothing is written now; empty when all is well
	Start   *time.Time    `json:"start"`           // of the finest span that is kept over it, civil time of the house; null when the program did not run
	Span    float64       `json:"span_seconds"`    // its length
	Watched float64       `json:"watched_seconds"` // of it, in which the program ran
	Sure    bool          `json:"sure"`            // the clock was trusted
	Figures []FigureShown `json:"figures"`
	Before  *time.Time    `json:"before"` // where nothing was watched: the end of what was before, null when there is nothing
	After   *time.Time    `json:"after"`  // and the start of what came next

	Decisions []EventShown `json:"decisions"` // the newest of every output
	Overrides []EventShown `json:"overrides"` // that had not ended
	Findings  []EventShown `json:"findings"`  // that were not gone
}

// FigureShown is a series over the span of a moment.
type FigureShown struct {
	SeriesShown
	Known  float64  `json:"known_seconds"` // for which there was a value
	Mean   *float64 `json:"mean"`          // null for an amount and for what was not known
	Low    *float64 `json:"low"`
	High   *float64 `json:"high"`
	Amount *float64 `json:"amount"` // null for what is none
}

func readMoment(ctx context.Context, q *question) (any, error) {
	if err := q.query.only([]string{"at"}); err != nil {
		return nil, err
	}
	at, err := q.query.instant("at")
	if err != nil {
		return nil, err
	}
	shown := MomentShown{Trouble: q.trouble, Figures: []FigureShown{}, Decisions: []EventShown{}, Overrides: []EventShown{}, Findings: []EventShown{}}
	moment, err := q.history.Moment(ctx, at)
	if err != nil {
		return nil, err
	}
	if moment == nil {
		before, after, err := q.history.Beside(ctx, at)
		shown.Before, shown.After = civil(before, q.zone), civil(after, q.zone)
		return shown, err
	}
	shown.Start, shown.Span, shown.Watched, shown.Sure = civil(moment.Start, q.zone), moment.Span.Seconds(), moment.Watched.Seconds(), moment.Sure
	for i := range moment.Figures {
		shown.Figures = append(shown.Figures, figureOf(&moment.Figures[i]))
	}
	standing, err := q.history.Standing(ctx, at)
	if err != nil {
		return nil, err
	}
	shown.Decisions, shown.Overrides, shown.Findings = eventsOf(standing.Decisions, q.zone), eventsOf(standing.Overrides, q.zone), eventsOf(standing.Findings, q.zone)
	return shown, nil
}

func figureOf(f *history.Figure) FigureShown {
	shown := FigureShown{SeriesShown: seriesOf(&f.Series), Known: f.Known.Seconds()}
	value := func(v float64) *float64 {
		v = finite(rounded(v, f.Steps))
		return &v
	}
	switch {
	case f.Sum:
		shown.Amount = value(f.Amount)
	case f.Known > 0:
		shown.Mean, shown.Low, shown.High = value(f.Mean), value(f.Low), value(f.High)
	}
	return shown
}
