package station

import "time"

// jumpLimit is how far wall clock and monotonic clock may part between two
// looks. A network time service that slews stays below a thousandth of the
// time that passed (adjtimex(2): at most 500 parts in a million by frequency).
const jumpLimit = 5 * time.Second

// trust judges whether the wall clock can be right. Boards without a battery
// clock wake up at the time of their last shut-down, of their image, or in
// 1970, and are hours or years wrong until the network has answered.
type trust struct {
	batteryClock bool
	builtAt      time.Time // it is never earlier than this
	lastSaved    time.Time // nor than this, which an earlier run trusted

	trusted bool
	looked  bool
	atNow   time.Duration
	atWall  time.Time
}

// judge looks at the clock once more and tells whether it is trusted, and by
// how much it jumped since the look before (0 when it did not).
//
// A synchronised clock is trusted even before lastSaved: that stamp may stem
// from a day when the clock ran ahead, and must not block it for years. Once
// trusted the clock stays so without its network, since it runs on evenly,
// until it jumps.
func (t *trust) judge(now time.Duration, wall time.Time, synchronised bool) (trusted bool, jump time.Duration) {
	if t.looked {
		apart := wall.Sub(t.atWall) - (now - t.atNow)
		if apart > jumpLimit || apart < -jumpLimit {
			jump = apart
			t.trusted = false
		}
	}
	t.looked, t.atNow, t.atWall = true, now, wall
	switch {
	case wall.Before(t.builtAt):
		t.trusted = false
	case synchronised:
		t.trusted = true
	case t.batteryClock && !wall.Before(t.lastSaved):
		t.trusted = true
	}
	return t.trusted, jump
}
