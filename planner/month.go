package planner

import (
	"math"
	"time"
)

// Month is what came of a month, of all systems together. Heat is in kWh; that
// of drawn water counts above the cold water. Two balances hold in it:
//
//	tanks: FromSun + FromMeter = Drawn + TankLoss + LineLoss + LetOut + MoreInTanks
//	loops: Absorbed = FromSun + CollectorLoss + LoopLoss + MoreInLoops
type Month struct {
	Start time.Time // first instant, house time

	SunOnCollectorsKWh float64 // light on the collectors' planes
	AbsorbedKWh        float64 // of it turned into heat by the collectors
	CollectorLossKWh   float64 // from the collectors to air and sky; negative while the air warms them
	LoopLossKWh        float64 // of the loops' pipes
	DumpedKWh          float64 // by heat dumps
	MoreInLoopsKWh     float64 // stored in collectors and pipes at the end, more than at the beginning

	FromSunKWh     float64 // brought into the tanks by the loops, net of what they took at night
	FromMeterKWh   float64 // electricity of the backup heaters
	DrawnKWh       float64 // what ran off cold at the taps included
	TankLossKWh    float64
	LineLossKWh    float64 // of hot-water lines with their circulation
	LetOutKWh      float64 // by relief valves or as steam
	MoreInTanksKWh float64 // stored in tanks and hot-water lines

	PumpKWh            float64 // electricity of the loop pumps
	CirculationPumpKWh float64 // and of the circulation pumps; neither is in a balance

	AskedKWh float64 // what the household wanted
	ShortKWh float64 // of it what did not come warm enough

	Draws, ShortDraws        int
	PumpHours, HeaterHours   float64
	PumpStarts, HeaterStarts int
	CirculationHours         float64
	StagnationHours          float64 // collectors above the fluid's boiling point
	CutOutHours              float64 // heaters dead behind an open cut-out
	MeanTankTopC             float64
}

// SolarShare is the part of the heat brought into the tanks that came from the
// sun, 0 to 1; 0 when none came at all. It says nothing of heat that was missing,
// see Flattering.
func (m *Month) SolarShare() float64 {
	return share(m.FromSunKWh, m.FromMeterKWh)
}

func share(sunKWh, restKWh float64) float64 {
	if sunKWh <= 0 {
		return 0
	}
	return sunKWh / (sunKWh + restKWh)
}

// flatteryPoints is by how many percentage points a solar share may be too high
// before it is marked. Common practice, no source.
const flatteryPoints = 5

// Flattering tells whether the solar share is high for want of heat: it would be
// lower by several points had the meter made up for all that came too cold. With
// a dead heater it is 100 %, hot water or not.
func (m *Month) Flattering() bool {
	return m.SolarShare()-share(m.FromSunKWh, m.FromMeterKWh+m.ShortKWh) > flatteryPoints/100.0
}

// TankGapKWh is what the tanks' balance fails to explain.
func (m *Month) TankGapKWh() float64 {
	return m.FromSunKWh + m.FromMeterKWh - m.DrawnKWh - m.TankLossKWh - m.LineLossKWh - m.LetOutKWh - m.MoreInTanksKWh
}

// LoopGapKWh is what the loops' balance fails to explain.
func (m *Month) LoopGapKWh() float64 {
	return m.AbsorbedKWh - m.FromSunKWh - m.CollectorLossKWh - m.LoopLossKWh - m.DumpedKWh - m.MoreInLoopsKWh
}

// unexplainedKWh adds the two up, so that neither hides the other.
func (m *Month) unexplainedKWh() float64 {
	return math.Abs(m.TankGapKWh()) + math.Abs(m.LoopGapKWh())
}

// add puts another month's or system's figures on top of these.
func (m *Month) add(o *Month) {
	m.SunOnCollectorsKWh += o.SunOnCollectorsKWh
	m.AbsorbedKWh += o.AbsorbedKWh
	m.CollectorLossKWh += o.CollectorLossKWh
	m.LoopLossKWh += o.LoopLossKWh
	m.DumpedKWh += o.DumpedKWh
	m.MoreInLoopsKWh += o.MoreInLoopsKWh
	m.FromSunKWh += o.FromSunKWh
	m.FromMeterKWh += o.FromMeterKWh
	m.DrawnKWh += o.DrawnKWh
	m.TankLossKWh += o.TankLossKWh
	m.LineLossKWh += o.LineLossKWh
	m.LetOutKWh += o.LetOutKWh
	m.MoreInTanksKWh += o.MoreInTanksKWh
	m.PumpKWh += o.PumpKWh
	m.CirculationPumpKWh += o.CirculationPumpKWh
	m.AskedKWh += o.AskedKWh
	m.ShortKWh += o.ShortKWh
	m.Draws += o.Draws
	m.ShortDraws += o.ShortDraws
	m.PumpHours += o.PumpHours
	m.HeaterHours += o.HeaterHours
	m.PumpStarts += o.PumpStarts
	m.HeaterStarts += o.HeaterStarts
	m.CirculationHours += o.CirculationHours
	m.StagnationHours += o.StagnationHours
	m.CutOutHours += o.CutOutHours
}
