package dashboard

import (
	"net/http"

	"sunstoker/dashboard/door"
)

// serveNow answers with the newest tick.
func (d *Dashboard) serveNow(w http.ResponseWriter, r *http.Request) {
	k := d.newest.Load()
	if k.tick == nil {
		refuseEarly(w, r)
		return
	}
	body, err := k.answer(d.now(), d.mayOf(r))
	if err != nil {
		Refuse(w, r, http.StatusInternalServerError, "The tick can't be written as JSON: "+err.Error())
		return
	}
	writeJSON(w, body)
}

// mayOf tells what who asks may do. Where nobody can be asked, all only see.
func (d *Dashboard) mayOf(r *http.Request) door.Role {
	if d.desk == nil {
		return door.See
	}
	return door.PersonOf(r).Role
}
