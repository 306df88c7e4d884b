package dashboard

import (
	"net/http"
	"sync/atomic"
	"time"

	"sunstoker/dashboard/door"
	"sunstoker/station/request"
	"sunstoker/station/tick"
)

// Options are what a dashboard can be told. The zero value is ready for use.
type Options struct {
	// Now is a clock of real time; time.Now when nil. It is not the house's
	// clock, which may run faster than time in a demo.
	Now func() time.Time
	// StaleAfter is the age, in real time, from which the newest tick says
	// that something hangs. 10 s when 0 or below.
	StaleAfter time.Duration
	// Desk takes what persons ask of the controller; nil when nobody can.
	Desk request.Desk
	// Past gives what the house's history keeps; nil when none is kept.
	Past Past
	// Worth is what the heat from the sun is held against.
	Worth Worth
	// MetricsElsewhere keeps the metrics out of it; see [Dashboard.Metrics].
	MetricsElsewhere bool
	// MaxViewers bounds the live viewers at one time. 64 when 0 or below.
	MaxViewers int
}

// Dashboard keeps the newest tick and shows it. All its methods may be called
// from any goroutine.
type Dashboard struct {
	now        func() time.Time
	staleAfter time.Duration
	viewers    chan struct{} // a place for each live viewer
	desk       request.Desk
	past       Past
	worth      Worth
	readers    chan struct{} // a place for each question to the history
	newest     atomic.Pointer[kept]
	handler    http.Handler
	refused    door.Refused
}

var _ tick.Watcher = (*Dashboard)(nil)

// New makes a dashboard that has seen no tick yet.
func New(o Options) *Dashboard {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.StaleAfter <= 0 {
		o.StaleAfter = 10 * time.Second
	}
	if o.MaxViewers <= 0 {
		o.MaxViewers = 64
	}
	d := &Dashboard{now: o.Now, staleAfter: o.StaleAfter, desk: o.Desk, viewers: make(chan struct{}, o.MaxViewers),
		past: o.Past, worth: o.Worth, readers: make(chan struct{}, mostReaders)}
	d.newest.Store(&kept{superseded: make(chan struct{})})
	d.handler = d.routes(builtPage(), !o.MetricsElsewhere)
	return d
}

// Watch keeps the tick and wakes the live viewers. It never waits for one.
func (d *Dashboard) Watch(t *tick.Tick) {
	before := d.newest.Swap(keep(t, d.now()))
	close(before.superseded)
}

// Refused counts what the doors before the page refuse; the metrics tell it.
func (d *Dashboard) Refused() *door.Refused { return &d.refused }

// ServeHTTP answers one request, which must have come through a door.
func (d *Dashboard) ServeHTTP(w http.ResponseWriter, r *http.Request) { d.handler.ServeHTTP(w, r) }

// Metrics serves the metrics alone, for a listener of their own.
func (d *Dashboard) Metrics() http.Handler {
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", door.Needs(door.See, Refuse, d.metricsHandler()))
	return mux
}
