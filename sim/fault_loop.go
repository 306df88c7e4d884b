package sim

import (
	"math"

	"sunstoker/sim/plant"
)

// loopFaultKinds are the ways in which pump, loop and collector break, beside
// those of the first table. What a loop has lost stays lost when the fault ends,
// until House.RefillLoop.
var loopFaultKinds = []FaultKind{
	{Name: "pump weak", needs: loopPump, Meaning: "worn or half blocked: less flow than its level should give",
		Amount: "share of the flow lost", UsualAmount: 0.5, Least: 0, Most: 1,
		breakPlant: loseFlow},
	{Name: "pump dry or air-locked", needs: loopPump, Meaning: "it turns and moves nothing",
		breakPlant: func(d *plant.Damage, _ float64) { loseFlow(d, 1) }},
	{Name: "pump relay open", needs: loopPump, Meaning: "contact or coil open: the pump gets no current",
		breakPlant: func(d *plant.Damage, _ float64) { d.Outputs.PumpRelayOpen = true }},
	{Name: "pump relay chatters", needs: loopPump, Meaning: "the contact drops and closes every few seconds",
		breakPlant: func(d *plant.Damage, _ float64) { d.Outputs.PumpChatters = true }},
	{Name: "glycol aged", needs: antifreeze, Meaning: "acid and sludge: frost point lost, flow dragged",
		Amount: "share of the glycol lost", UsualAmount: 0.4, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) {
			d.GlycolLost = math.Max(d.GlycolLost, amount)
			loseFlow(d, sludgeShare*amount)
		}},
	{Name: "glycol topped up with water", needs: antifreeze, Meaning: "the frost point has risen unseen",
		Amount: "share of the glycol lost", UsualAmount: 0.5, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) { d.GlycolLost = math.Max(d.GlycolLost, amount) }},
	{Name: "loop leaks slowly", needs: sealedLoop, Meaning: "pressure falls, in the end air comes in",
		Amount: "litres a day", UsualAmount: 2, Least: 0, Most: 1e4,
		breakPlant: func(d *plant.Damage, amount float64) { d.LoopLeakLPerDay += amount }},
	{Name: "loop lost all fluid", Meaning: "the collector stands dry",
		breakPlant: func(d *plant.Damage, _ float64) { d.FluidGone = true }},
	{Name: "expansion vessel lost its cushion", needs: vessel, Meaning: "pressure swings, the relief valve opens on hot days, air comes in at night",
		breakPlant: func(d *plant.Damage, _ float64) { d.CushionLost = true }},
	{Name: "loop relief valve stuck shut", needs: loopRelief, Meaning: "nothing bounds the loop's pressure",
		breakPlant: func(d *plant.Damage, _ float64) { d.LoopReliefShut = true }},
	{Name: "loop relief valve weeping", needs: loopRelief, Meaning: "the loop drains through it",
		Amount: "litres a day at 2 bar", UsualAmount: 3, Least: 0, Most: 1e4,
		breakPlant: func(d *plant.Damage, amount float64) { d.LoopReliefWeepsLPerDay += amount }},
	{Name: "heat dump valve stuck shut", needs: heatDump, Meaning: "it leads through the tank's coil, whatever it is told",
		breakPlant: func(d *plant.Damage, _ float64) { d.HeatDumpStuck = true }},
	{Name: "heat dump valve stuck open", needs: heatDump, Meaning: "it leads past the tank, whatever it is told",
		breakPlant: func(d *plant.Damage, _ float64) { d.HeatDumpOpen = true }},
	{Name: "snow on the collector", Meaning: "next to no light while it lies",
		Amount: "share of the light kept off", UsualAmount: 0.95, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) { d.Snow = math.Max(d.Snow, amount) }},
	{Name: "collector soiled", Meaning: "dust and pollen on the glass",
		Amount: "share of the light kept off", UsualAmount: 0.15, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) { d.Soiling = math.Max(d.Soiling, amount) }},
}

// sludgeShare is the flow that sludge takes by the glycol lost (common practice,
// no source).
const sludgeShare = 0.5

func loseFlow(d *plant.Damage, share float64) { d.FlowLost = math.Max(d.FlowLost, share) }

// heaterFaultKinds are the ways in which the heater's circuit breaks, beside
// those of the other tables.
var heaterFaultKinds = []FaultKind{
	{Name: "heater contactor does not close", needs: anyHeater, Meaning: "the heater gets no current",
		breakPlant: func(d *plant.Damage, _ float64) { d.ContactorOpen = true }},
	{Name: "heater earth leak", needs: anyHeater, Meaning: "its residual-current device has tripped",
		breakPlant: func(d *plant.Damage, _ float64) { d.ElementOpen = true }},
	{Name: "heater thermostat set low", needs: thermostat, Meaning: "it opens below what the program waits for",
		Amount: "setting in degC", UsualAmount: 45, Least: 1, Most: 120,
		breakPlant: func(d *plant.Damage, amount float64) { d.ThermostatSetC = amount }},
	{Name: "heater thermostat set high", needs: thermostat, Meaning: "it no longer limits before the cut-out does",
		Amount: "setting in degC", UsualAmount: 100, Least: 1, Most: 120,
		breakPlant: func(d *plant.Damage, amount float64) { d.ThermostatSetC = amount }},
	{Name: "heater cut-out tripped", needs: cutOut, Meaning: "the heater is dead until a person resets it",
		breakPlant: func(d *plant.Damage, _ float64) { d.CutOutTripped = true }},
}
