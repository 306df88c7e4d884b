package dashboard

import (
	"context"
	"net/http"
	"time"

	"sunstoker/history"
)

// Worth is what the heat from the sun is held against.
type Worth struct {
	PricePerKWh float64              // of electricity from the meter
	Currency    string               // of the price; empty when none is known
	PromisedKWh map[string][]float64 // by system: heat from the sun that was planned, January to December
}

// HistoryShown is what there is of the past.
type HistoryShown struct {
	Kept     bool          `json:"kept"`    // the site file asks for a history
	Trouble  string        `json:"trouble"` // why nothing is written or read now; empty when all is well
	Zone     string        `json:"zone"`    // of days, months and years, such as "Europe/Rome"
	Oldest   *time.Time    `json:"oldest"`  // civil time of the house, as all times here; null when there is nothing
	Newest   *time.Time    `json:"newest"`
	Series   []SeriesShown `json:"series"` // all that are or were kept, the present ones first
	Price    *PriceShown   `json:"price"`  // of electricity; null when the site file names none
	Promised []Promised    `json:"promised"`
}

// PriceShown is what a kWh of electricity from the meter costs.
type PriceShown struct {
	PerKWh   float64 `json:"per_kwh"`
	Currency string  `json:"currency"`
}

// Promised is the heat from the sun that was planned for a system.
type Promised struct {
	System string    `json:"system"`
	ByJ    []float64 `json:"by_month_j"` // January to December
}

const joulesPerKWh = 3.6e6

// serveHistory tells what there is of the past, also when there is none.
func (d *Dashboard) serveHistory(w http.ResponseWriter, r *http.Request) {
	plan := d.plan()
	if plan == nil {
		refuseEarly(w, r)
		return
	}
	zone := zoneOf(plan)
	shown := HistoryShown{Trouble: keptNowhere, Zone: zone.String(), Series: []SeriesShown{}, Promised: []Promised{}}
	if p := d.worth; p.Currency != "" {
		shown.Price = &PriceShown{PerKWh: p.PricePerKWh, Currency: p.Currency}
	}
	for i := range plan.Systems {
		if months := d.worth.PromisedKWh[plan.Systems[i].Name]; len(months) > 0 {
			promised := Promised{System: plan.Systems[i].Name}
			for _, kWh := range months {
				promised.ByJ = append(promised.ByJ, kWh*joulesPerKWh)
			}
			shown.Promised = append(shown.Promised, promised)
		}
	}
	if d.past != nil {
		shown.Kept, shown.Trouble = true, d.past.Trouble()
		_, err := d.readPast(r.Context(), func(ctx context.Context, h *history.Reader) (any, error) {
			return nil, shown.look(ctx, h, zone)
		})
		if err != nil && shown.Trouble == "" {
			shown.Trouble = err.Error()
		}
	}
	answer(w, r, shown)
}

func (s *HistoryShown) look(ctx context.Context, h *history.Reader, zone *time.Location) error {
	series, err := h.Series(ctx)
	if err != nil {
		return err
	}
	oldest, err := h.Oldest(ctx)
	if err != nil {
		return err
	}
	newest, err := h.Newest(ctx)
	if err != nil {
		return err
	}
	for i := range series {
		s.Series = append(s.Series, seriesOf(&series[i]))
	}
	s.Oldest, s.Newest = civil(oldest, zone), civil(newest, zone)
	return nil
}
