package control

import (
	"math"
	"time"
)

// The regulator of the pump's speed. A collector follows a change of flow
// within some two minutes at full flow, and more slowly the less flows; so the
// speed follows within speedTime at full and accordingly slower below, which
// leaves it well damped (a first-order lag under integral action is, while the
// integral takes longer than twice the lag). Figures of collectors: common
// practice, no source.
const (
	speedTime      = 5 * time.Minute
	speedStep      = 0.01 // what is asked for moves in such steps, so that a driver is not busy with less
	fullAtRun      = time.Minute
	speedRoomK     = 15 // below the restart ceiling, from which on the pump runs at full
	speedBandK     = 5
	speedTankBandK = 1
)

// pumpSpeed gives the level at which the loop pump is to run: full for a pump
// that can only be on or off, else what keeps the collector at the target
// difference above the coil. It is full in the first minute of a run, which
// brings the fluid from the pipes past the probes; while collector or tank is
// near its limit; and while the tank bottom can't be read. The last ones are
// told by nearLimit, for the reason.
//
// The speed itself is the regulator's whole memory, and is bounded: there is
// nothing in it that could wind up. It moves in proportion to itself, as the
// difference does, which is to a good part the sun's power by the flow.
func (c *Controller) pumpSpeed(s *system, gapK float64, standIn bool, elapsed time.Duration) (level float64, nearLimit bool) {
	least := c.limits[s.pump].leastLevel
	if least == 0 {
		return 1, false
	}
	m, set := s.mem, s.set
	hot := latched(m.SpeedFull, s.collector.Value, set.RestartCeilingC-set.RestartCeilingBandK-speedRoomK, speedBandK)
	m.SpeedFull = hot || latched(m.SpeedFull, s.hottestC, set.TankLimitC-set.TankLimitBandK, speedTankBandK)
	pump := &c.st.Outputs[s.pump]
	begins := pump.Level == 0 || pump.InState < fullAtRun
	if m.SpeedFull || begins || standIn {
		m.PumpSpeed = 1
		return 1, m.SpeedFull
	}
	off := min(gapK/set.TargetDifferenceK-1, 1) // above -1: the pump runs while there is a gap
	// One step covers no more than the regulator could in its own time.
	share := min(seconds(elapsed)/speedTime.Seconds(), 0.5)
	m.PumpSpeed += off * m.PumpSpeed * m.PumpSpeed * share
	m.PumpSpeed = min(max(m.PumpSpeed, least), 1)
	return max(math.Round(m.PumpSpeed/speedStep)*speedStep, least), false
}
