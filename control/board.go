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
	MemoryLost   string        // why the memory of earlier runs could not be used, in words; empty when it could
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
	if s := c.sign(FoundMemoryLost, House, 0, b.MemoryLost != "", elapsed); s != nil {
		s.evidence, s.detail = because(SawMemoryLost, seconds(s.seen)), b.MemoryLost
	}
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
