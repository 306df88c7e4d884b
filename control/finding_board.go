package control

import (
	"math"
	"time"
)

// Common practice, no source: small boards slow down from 80 °C on, and the
// relays of usual boards are made for some hundred thousand switchings under
// load.
const (
	hotBoardC   = 80
	coolBoardC  = 75
	leastFreeMB = 100
	wellFreeMB  = 150
	relayLife   = 100_000
	manyStarts  = 5
	manyJumps   = 3
	countMemory = 24 * time.Hour
	countedOut  = 12 * time.Hour // without another one nothing counts any more
	jumpSeconds = 60
	farJump     = 3600    // s that the clock is moved by, from where on the nights that it told of are void
	leapSeconds = 90 * 60 // more than summer time moves it: once is enough
	awayLeast   = 30 * time.Minute
	awayTold    = 36 * time.Hour
)

// lookAtSupply looks at what the kernel tells of the board and its storage.
func (c *Controller) lookAtSupply(b *Board, elapsed time.Duration) {
	if s := c.sign(FoundSupplySags, House, 0, b.SupplyLow, elapsed); s != nil {
		s.evidence = because(SawSupplySags, float64(b.SupplySags))
	}
	hot := b.TempC >= hotBoardC || b.TempC > coolBoardC && c.raised(FoundBoardHot, House, 0)
	if s := c.sign(FoundBoardHot, House, 0, hot, elapsed); s != nil {
		s.evidence = because(SawBoardHot, b.TempC)
	}
	full := b.StorageKnown && (b.StorageFreeMB < leastFreeMB || b.StorageFreeMB < wellFreeMB && c.raised(FoundStorageNearlyFull, House, 0))
	if s := c.sign(FoundStorageNearlyFull, House, 0, full, elapsed); s != nil {
		s.evidence = because(SawStorageNearlyFull, b.StorageFreeMB)
	}
	if s := c.sign(FoundWatchdogUnarmed, House, 0, b.Watchdog != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawWatchdogUnarmed), b.Watchdog
	}
	if s := c.sign(FoundStorageReadOnly, House, 0, b.StorageReadOnly, elapsed); s != nil {
		s.evidence = because(SawStorageReadOnly)
	}
}

// lookAtClock counts jumps of the wall clock against the time of service, and
// starts of the program. Both counts fade within days; half a day without another
// one is proof that all is well.
func (c *Controller) lookAtClock(wall time.Time, span time.Duration) {
	h := &c.st.House
	h.Jumps = faded(h.Jumps, &h.JumpRest, span)
	h.Starts = faded(h.Starts, &h.StartRest, span)
	ahead := wall.Unix() - int64(c.st.Service/time.Second)
	moved := ahead - h.WallAhead
	if !c.clockSet || !h.WallKnown {
		moved = 0
	}
	if moved > jumpSeconds || moved < -jumpSeconds {
		h.Jumps, h.JumpRest = min(h.Jumps+1, 1000), 0
	}
	if moved > leapSeconds || moved < -leapSeconds {
		h.Jumps, h.LeapS = max(h.Jumps, manyJumps), math.Abs(float64(moved))
	}
	if moved >= farJump || moved <= -farJump {
		c.forgetNights()
	}
	h.WallKnown, h.WallAhead = c.clockSet, ahead
	if h.Jumps == 0 {
		h.LeapS = 0
	}
	seen := because(SawClockJumps, h.Jumps)
	if h.LeapS > 0 {
		seen = because(SawClockLeap, h.LeapS)
	}
	c.note(FoundClockJumps, House, 0, clearedBy(h.Jumps >= manyJumps-0.5, h.Jumps == 0), span, seen)
	c.note(FoundRestartsMany, House, 0, clearedBy(h.Starts >= manyStarts-0.5, h.Starts == 0), span, because(SawRestartsMany, h.Starts))
}

// faded is what is left of a count after a span, rest being the time since it last
// grew.
func faded(count float64, rest *time.Duration, span time.Duration) float64 {
	if *rest += span; count == 0 || *rest >= countedOut {
		*rest = 0
		return 0
	}
	return count * (1 - share(span, countMemory))
}

// forgetNights drops what was seen of nights that were none: the clock has been
// moved by hours. If it was found to be wrong, it is another one now, and what
// followed from it is void as well.
func (c *Controller) forgetNights() {
	wrong := c.raised(FoundClockWrong, House, 0)
	for i := range c.systems {
		night := &c.systems[i].mem.Signs.Night
		night.forgetMoment()
		if wrong {
			night.GapK, night.Nights, night.Sound = 0, 0, 0
		}
	}
	if !wrong {
		return
	}
	c.findings.drop(&c.plan, FoundClockWrong)
	for _, kind := range hides[FoundClockWrong] {
		c.findings.drop(&c.plan, kind)
	}
}

// lookAtAway tells for a while that no program had run before the last start.
func (c *Controller) lookAtAway(span time.Duration) {
	h := &c.st.House
	if h.AwayFor == 0 {
		return
	}
	h.AwayAgo += span
	if h.AwayAgo >= awayTold {
		h.AwayFor, h.AwayAgo = 0, 0
	}
	c.note(FoundWasAway, House, 0, sees(h.AwayFor > 0), span, because(SawAway, seconds(h.AwayFor), seconds(h.AwayAgo)))
}

// lookAtRelays tells of outputs that were switched more often than relays are
// made for.
func (c *Controller) lookAtRelays(span time.Duration) {
	for i, o := range c.plan.Outputs {
		if n := c.st.Outputs[i].Switchings; n >= relayLife {
			c.note(FoundRelayWorn, o.System, int(o.Actuator), present, span, because(SawRelayWorn, float64(n)))
		}
	}
}
