package twin

import (
	"sunstoker/control"
	"sunstoker/sim"
)

// relayOnFrom is the level from which a part that knows only on and off is on.
const relayOnFrom = 0.5

// Drive sets what an output of the plan drives in the simulated house to a
// level, 0 to 1.
func Drive(house *sim.House, o control.Output, level float64) {
	on := level >= relayOnFrom
	switch o.Actuator {
	case control.LoopPump:
		house.SetPump(o.System, level)
	case control.BackupHeater:
		house.SetHeater(o.System, on)
	case control.HotWaterCirculation:
		house.SetCirculation(o.System, on)
	case control.HeatDump:
		house.SetHeatDump(o.System, on)
	}
}
