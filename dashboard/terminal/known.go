package terminal

import (
	"time"

	"sunstoker/dashboard"
)

// line is how well the daemon is heard.
type line uint8

const (
	connecting line = iota // nothing was heard yet
	waiting                // the daemon has no tick yet
	live                   // all is well
	old                    // the line stands but the daemon does not tick
	lost                   // there is no line
)

// A tick is old after this; a short break of the line makes no noise.
const (
	oldAfter    = 10 * time.Second
	brokenAfter = 3 * time.Second
)

// known is what is known of the house. Its times are of real time.
type known struct {
	now     *dashboard.Now // the newest; nil before the first
	age     time.Duration  // of now at the time arrived
	arrived time.Time
	broken  time.Time // since when there is trouble; zero when there is none
	trouble string
	any     bool // something was heard
}

func (k *known) hear(h heard, at time.Time) {
	if h.trouble != "" {
		if k.trouble = h.trouble; k.broken.IsZero() {
			k.broken = at
		}
		return
	}
	k.any, k.trouble, k.broken = true, "", time.Time{}
	switch {
	case h.unborn:
		k.now = nil // started anew
	default:
		if h.now != nil {
			k.now = h.now
		}
		k.age, k.arrived = h.age, at
	}
}

// view is what is shown.
type view struct {
	line    line
	now     *dashboard.Now // nil when there is nothing to show
	age     time.Duration  // of now
	trouble string         // why the line is lost
}

func (k *known) at(at time.Time) view {
	v := view{now: k.now, trouble: k.trouble}
	if k.now != nil {
		v.age = k.age + max(0, at.Sub(k.arrived))
	}
	switch {
	case !k.broken.IsZero() && (!k.any || at.Sub(k.broken) >= brokenAfter):
		v.line = lost
	case !k.any:
		v.line = connecting
	case k.now == nil:
		v.line = waiting
	case v.age > oldAfter:
		v.line = old
	default:
		v.line = live
	}
	return v
}
