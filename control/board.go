package control

import "time"

// Board is what the running program knows of itself and its board: faults that
// no probe shows. The zero value says that all is well.
type Board struct {
	OutputFaults []string      // per output, the driver's words when it could not be driven; may be shorter than Plan.Outputs
	StuckBus     string        // a probe bus whose read does not come back, in words; empty when none
	StuckFor     time.Duration // for how long
	Unsaved      string        // why the state could not be saved, in words; empty when it could
	UnsavedFor   time.Duration // for how long
	Unwritten    string        // why the history is not written, in words; empty when it is
	MemoryLost   string        // why the memory of earlier runs could not be used, in words; empty when it could

	SupplyLow       bool    // the board's supply is below what it needs, or was a moment ago
	SupplySags      int     // how often that was so since the start
	TempC           float64 // of the processor, °C; 0 when it is not known
	StorageKnown    bool    // the next two are known
	StorageReadOnly bool    // the state folder can't be written to
	StorageFreeMB   float64 // free for the state folder, MB
	Watchdog        string  // why the board's hardware watchdog does not do its work, in words; empty when it does, or when nobody asks

	ProbeNotes []string // per probe, what its driver says of its identity, such as that it is not of the maker's pattern; may be shorter than Plan.Probes
	Stranger   string   // a probe on a bus that no place has, in words; empty when none
}

// Tell hands over what is known of the board; it stands for all steps until
// the next Tell.
func (c *Controller) Tell(b Board) { c.board, c.told = b, true }

// lookAtBoard turns the board's faults into findings.
func (c *Controller) lookAtBoard(elapsed time.Duration) {
	b := &c.board
	if s := c.sign(FoundClockUnset, House, 0, !c.clockSet, elapsed); s != nil {
		s.evidence = because(SawClockUnset, seconds(s.seen))
	}
	if s := c.sign(FoundBusStuck, House, 0, b.StuckBus != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawBusStuck, seconds(b.StuckFor)), b.StuckBus
	}
	if s := c.sign(FoundStateUnsaved, House, 0, b.Unsaved != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawStateUnsaved, seconds(b.UnsavedFor)), b.Unsaved
	}
	if s := c.sign(FoundHistoryUnwritten, House, 0, b.Unwritten != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawHistoryUnwritten, seconds(s.seen)), b.Unwritten
	}
	if s := c.sign(FoundMemoryLost, House, 0, b.MemoryLost != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawMemoryLost, seconds(s.seen)), b.MemoryLost
	}
	c.lookAtSupply(b, elapsed)
	c.lookAtIdentities(b, elapsed)
	for i, o := range c.plan.Outputs {
		fault := ""
		if i < len(b.OutputFaults) {
			fault = b.OutputFaults[i]
		}
		if s := c.sign(FoundOutputFault, o.System, int(o.Actuator), fault != "", elapsed); s != nil {
			s.evidence, s.detail = because(SawOutputFault), fault
		}
	}
}

// lookAtIdentities tells of probes that are not what they should be.
func (c *Controller) lookAtIdentities(b *Board, elapsed time.Duration) {
	for i, pr := range c.plan.Probes {
		note := ""
		if i < len(b.ProbeNotes) {
			note = b.ProbeNotes[i]
		}
		if s := c.sign(FoundProbeNotGenuine, pr.System, int(pr.Place), note != "", elapsed); s != nil {
			s.evidence, s.detail = because(SawProbeNotGenuine), note
		}
	}
	if s := c.sign(FoundProbeStranger, House, 0, b.Stranger != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawProbeStranger), b.Stranger
	}
}
