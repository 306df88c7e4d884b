package dashboard

import (
	"fmt"
	"net/http"
	"time"

	"sunstoker/dashboard/door"
)

const (
	eventGap     = time.Second      // a viewer gets at most one event in this time
	beatGap      = 5 * time.Second  // without a newer tick, a beat proves that the line still stands
	eventTimeout = 10 * time.Second // a viewer who takes longer to read one event is dropped
)

// serveEvents streams server-sent events as the HTML standard describes them:
// "tick" with an [Answer], and "beat" with the newest tick's age while no newer
// one comes. A slow viewer misses ticks; the newest is always the next.
func (d *Dashboard) serveEvents(w http.ResponseWriter, r *http.Request) {
	select {
	case d.viewers <- struct{}{}:
		defer func() { <-d.viewers }()
	default:
		w.Header().Set("Retry-After", "10")
		Refuse(w, r, http.StatusServiceUnavailable, "As many viewers as this board bears are watching. Ask again later, or ask /api/now now and then.")
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	h.Set("X-Accel-Buffering", "no") // asks a proxy in between to pass events on at once
	if r.Method == http.MethodHead {
		return
	}
	v := viewer{w: w, line: http.NewResponseController(w), now: d.now, may: d.mayOf(r)}
	if !v.send("retry: 2000\n\n") {
		return
	}
	gap, beat := time.NewTimer(0), time.NewTimer(0)
	defer gap.Stop()
	defer beat.Stop()
	for {
		select {
		case <-gap.C:
		case <-r.Context().Done():
			return
		}
		k := d.newest.Load()
		if !v.show(k) {
			return
		}
		gap.Reset(eventGap)
		for newer := false; !newer; {
			beat.Reset(beatGap)
			select {
			case <-k.superseded:
				newer = true
			case <-beat.C:
				if !v.beat(k) {
					return
				}
			case <-r.Context().Done():
				return
			}
		}
	}
}

// viewer is one who watches live.
type viewer struct {
	w    http.ResponseWriter
	line *http.ResponseController
	now  func() time.Time
	may  door.Role
}

// show sends a tick; before the first there is none to send.
func (v *viewer) show(k *kept) bool {
	if k.tick == nil {
		return v.beat(k)
	}
	body, err := k.answer(v.now(), v.may)
	if err != nil {
		return false
	}
	return v.send(fmt.Sprintf("event: tick\nid: %d\ndata: %s\n\n", k.tick.Number, body))
}

// beat sends the newest tick's age, or null before the first tick.
func (v *viewer) beat(k *kept) bool {
	age := "null"
	if k.tick != nil {
		age = fmt.Sprintf("%.1f", k.age(v.now()).Seconds())
	}
	return v.send("event: beat\ndata: {\"age_seconds\":" + age + "}\n\n")
}

// send writes one event and pushes it out; false when the viewer is gone or
// too slow.
func (v *viewer) send(event string) bool {
	// A writer without deadlines is one of a test; a real one has them.
	_ = v.line.SetWriteDeadline(time.Now().Add(eventTimeout))
	if _, err := v.w.Write([]byte(event)); err != nil {
		return false
	}
	return v.line.Flush() == nil
}
