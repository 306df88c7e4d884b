package dashboard

import (
	"encoding/json"
	"sync"
	"time"

	"sunstoker/dashboard/door"
	"sunstoker/station/tick"
)

// kept is the newest tick with what its viewers share. Before the first tick
// its tick is nil.
type kept struct {
	tick       *tick.Tick
	arrived    time.Time              // by the real clock
	superseded chan struct{}          // closed when a newer tick is there
	json       func() ([]byte, error) // the tick as JSON, made once, when first asked for
}

func keep(t *tick.Tick, arrived time.Time) *kept {
	return &kept{
		tick: t, arrived: arrived, superseded: make(chan struct{}),
		json: sync.OnceValues(func() ([]byte, error) { return json.Marshal(NowOf(t)) }),
	}
}

// age is the time since the tick arrived.
func (k *kept) age(now time.Time) time.Duration { return max(0, now.Sub(k.arrived)) }

// answer is the tick as JSON with its age, for somebody with a role.
func (k *kept) answer(now time.Time, may door.Role) ([]byte, error) {
	body, err := k.json()
	if err != nil {
		return nil, err
	}
	return json.Marshal(Answer{AgeSeconds: k.age(now).Seconds(), May: may.String(), Now: body})
}
