package dashboard

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"time"

	"sunstoker/history"
)

// Past is what a house's history keeps; [history.History] is one.
type Past interface {
	// Open opens it for reading, for one question.
	Open() (*history.Reader, error)
	// Trouble says why nothing is written now; empty when all is well.
	Trouble() string
}

var _ Past = (*history.History)(nil)

// Worth is what the heat from the sun is held against.
type Worth struct {
	PricePerKWh float64              // of electricity from the meter
	Currency    string               // of the price; empty when none is known
	PromisedKWh map[string][]float64 // by system: heat from the sun that was planned, January to December
}

// How the history is asked. A question holds some megabytes and a core while it is
// read, and a tick may have to wait for the core for some milliseconds.
const (
	mostReaders = 1
	readPlace   = 2 * time.Second // for which a question waits for its turn
	readTimeout = 5 * time.Second // after which it is dropped
)

// question is what is asked of the past.
type question struct {
	history *history.Reader
	query   *query
	zone    *time.Location // of the house
	trouble string         // why nothing is written now
}

// fromPast makes a handler of a function that reads an answer from the history.
func (d *Dashboard) fromPast(read func(context.Context, *question) (any, error)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		plan := d.plan()
		if plan == nil {
			refuseEarly(w, r)
			return
		}
		query, err := queryOf(r, zoneOf(plan))
		if err != nil {
			refuseUnread(w, r, err)
			return
		}
		if d.past == nil {
			Refuse(w, r, http.StatusNotFound, keptNowhere)
			return
		}
		found, err := d.readPast(r.Context(), func(ctx context.Context, h *history.Reader) (any, error) {
			return read(ctx, &question{history: h, query: query, zone: zoneOf(plan), trouble: d.past.Trouble()})
		})
		if err != nil {
			refusePast(w, r, err)
			return
		}
		answer(w, r, found)
	}
}

const keptNowhere = "This house keeps no history: kept = false stands under [history] in its site file."

var (
	errNoPlace = errors.New("the history is being asked by others as often as this board bears")
	errTooLong = fmt.Errorf("the history was not read within %v: ask for less time at once", readTimeout)
)

// readPast reads from the history once there is a place for it. What it gives is
// written to whoever asks without holding that place.
func (d *Dashboard) readPast(ctx context.Context, read func(context.Context, *history.Reader) (any, error)) (found any, err error) {
	wait := time.NewTimer(readPlace)
	defer wait.Stop()
	select {
	case d.readers <- struct{}{}:
		defer func() { <-d.readers }()
	case <-wait.C:
		return nil, errNoPlace
	case <-ctx.Done():
		return nil, ctx.Err()
	}
	ctx, cancel := context.WithTimeout(ctx, readTimeout)
	defer cancel()
	h, err := d.past.Open()
	if err != nil {
		return nil, err
	}
	found, err = read(ctx, h)
	if ctx.Err() == context.DeadlineExceeded {
		err = errTooLong
	}
	return found, errors.Join(err, h.Close())
}

// refusePast says why nothing came of a question.
func refusePast(w http.ResponseWriter, r *http.Request, err error) {
	if _, is := errors.AsType[*badRequest](err); is {
		refuseUnread(w, r, err)
		return
	}
	later := 60 * time.Second // for somebody to look after the storage
	if errors.Is(err, errNoPlace) || errors.Is(err, errTooLong) {
		later = readTimeout
	}
	w.Header().Set("Retry-After", strconv.Itoa(int(later.Seconds())))
	Refuse(w, r, http.StatusServiceUnavailable, "Nothing could be read: "+err.Error()+".")
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
