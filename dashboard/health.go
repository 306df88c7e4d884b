package dashboard

import (
	"fmt"
	"net/http"
	"time"
)

// serveHealth tells whether ticks arrive. Findings do not make it fail: a
// controller that reports a broken probe is in good health.
func (d *Dashboard) serveHealth(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Cache-Control", "no-store")
	k := d.newest.Load()
	if k.tick == nil {
		http.Error(w, "No tick yet: the controller has just been started, or hangs.", http.StatusServiceUnavailable)
		return
	}
	age := k.age(d.now()).Round(100 * time.Millisecond)
	if age > d.staleAfter {
		http.Error(w, fmt.Sprintf("The newest tick is %.1f s old; the controller hangs.", age.Seconds()), http.StatusServiceUnavailable)
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	fmt.Fprintf(w, "Ticks arrive; the newest is %.1f s old.\n", age.Seconds())
}
