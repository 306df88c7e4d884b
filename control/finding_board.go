package control

import "time"

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
	fewStarts   = 2
	manyJumps   = 3
	fewJumps    = 1
	countMemory = 24 * time.Hour
	jumpSeconds = 60
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
	if s := c.sign(FoundStorageReadOnly, House, 0, b.StorageReadOnly, elapsed); s != nil {
		s.evidence = because(SawStorageReadOnly)
	}
}

// lookAtClock counts jumps of the wall clock against the time of service, and
// starts of the program.
func (c *Controller) lookAtClock(wall time.Time, span time.Duration) {
	h := &c.st.House
	fade := 1 - share(span, countMemory)
	h.Jumps *= fade
	h.Starts *= fade
	ahead := wall.Unix() - int64(c.st.Service/time.Second)
	if moved := ahead - h.WallAhead; c.clockSet && h.WallKnown && (moved > jumpSeconds || moved < -jumpSeconds) {
		h.Jumps = min(h.Jumps+1, 1000)
	}
	h.WallKnown, h.WallAhead = c.clockSet, ahead
	c.note(FoundClockJumps, House, 0, clearedBy(h.Jumps >= manyJumps-0.5, h.Jumps < fewJumps), span, because(SawClockJumps, h.Jumps))
	c.note(FoundRestartsMany, House, 0, clearedBy(h.Starts >= manyStarts-0.5, h.Starts < fewStarts), span, because(SawRestartsMany, h.Starts))
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
