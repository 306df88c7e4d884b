package dashboard

import (
	"net/http"
)

// serveNow answers with the newest tick.
func (d *Dashboard) serveNow(w http.ResponseWriter, _ *http.Request) {
	w.Header().Set("Cache-Control", "no-store")
	k := d.newest.Load()
	if k.tick == nil {
		w.Header().Set("Retry-After", "1")
		http.Error(w, "No tick yet: the controller has just been started.", http.StatusServiceUnavailable)
		return
	}
	body, err := k.answer(d.now())
	if err != nil {
		http.Error(w, "The tick can't be written as JSON: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Write(append(body, '\n'))
}
