package dashboard

import "net/http"

// serveNow answers with the newest tick.
func (d *Dashboard) serveNow(w http.ResponseWriter, r *http.Request) {
	k := d.newest.Load()
	if k.tick == nil {
		refuseEarly(w, r)
		return
	}
	body, err := k.answer(d.now())
	if err != nil {
		refuse(w, r, http.StatusInternalServerError, "The tick can't be written as JSON: "+err.Error())
		return
	}
	writeJSON(w, body)
}
