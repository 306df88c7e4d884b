package dashboard

import (
	"net/http"
	"sync/atomic"
	"time"

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
	// MaxViewers bounds the live viewers at one time. 16 when 0 or below.
	MaxViewers int
}

// Dashboard keeps the newest tick and shows it. All its methods may be called
// from any goroutine.
type Dashboard struct {
	now        func() time.Time
	staleAfter time.Duration
	viewers    chan struct{} // a place for each live viewer
	newest     atomic.Pointer[kept]
	handler    http.Handler
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
		o.MaxViewers = 16
	}
	d := &Dashboard{now: o.Now, staleAfter: o.StaleAfter, viewers: make(chan struct{}, o.MaxViewers)}
	d.newest.Store(&kept{superseded: make(chan struct{})})
	d.handler = guard(d.routes(builtPage()))
	return d
}

// Watch keeps the tick and wakes the live viewers. It never waits for one.
func (d *Dashboard) Watch(t *tick.Tick) {
	before := d.newest.Swap(keep(t, d.now()))
	close(before.superseded)
}

// ServeHTTP answers one request.
func (d *Dashboard) ServeHTTP(w http.ResponseWriter, r *http.Request) { d.handler.ServeHTTP(w, r) }

func (d *Dashboard) routes(p page) http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("/api/now", d.serveNow)
	mux.HandleFunc("/api/events", d.serveEvents)
	mux.Handle("/metrics", d.metricsHandler())
	mux.HandleFunc("/healthz", d.serveHealth)
	mux.HandleFunc("/", p.serve)
	return mux
}
