package sim

import (
	"math"

	"sunstoker/sim/plant"
)

// tankFaultKinds are the ways in which the tank, its fittings and the hot-water
// line break, beside those of the first table.
var tankFaultKinds = []FaultKind{
	{Name: "circulation pump runs always", needs: circulation, Meaning: "its switch is stuck or by-passed: the line is warm day and night and the tank loses its layers",
		breakPlant: func(d *plant.Damage, _ float64) { d.CirculationWelded = true }},
	{Name: "circulation pump never runs", needs: circulation, Meaning: "seized, unplugged or full of air: long waits, a line that stands",
		breakPlant: func(d *plant.Damage, _ float64) { d.CirculationDead = true }},
	{Name: "tempering valve stuck cold", needs: tempering, Meaning: "lukewarm taps on a hot tank",
		breakPlant: func(d *plant.Damage, _ float64) { d.TemperingStuckCold = true }},
	{Name: "drinking-water coil scaled", needs: loopStore, Meaning: "the store's coil gives less heat, above all in big draws",
		Amount: "share of the heat transfer lost", UsualAmount: 0.5, Least: 0, Most: 0.99,
		breakPlant: func(d *plant.Damage, amount float64) { d.TapCoilScaled = math.Max(d.TapCoilScaled, amount) }},
	{Name: "tank inlet stopped", Meaning: "no cold water comes, so nothing leaves the taps",
		breakPlant: func(d *plant.Damage, _ float64) { d.InletStopped = true }},
	{Name: "heater element without water", needs: anyHeater, Meaning: "a part-empty tank: the element burns out within a minute of current",
		breakPlant: func(d *plant.Damage, _ float64) { d.ElementBare = true }},
	{Name: "heater element scaled", needs: anyHeater, Meaning: "a crusted element overheats and cycles on its own protection",
		Amount: "share of the power lost in the mean", UsualAmount: 0.4, Least: 0, Most: 1,
		breakPlant: func(d *plant.Damage, amount float64) { d.HeaterScaled = math.Max(d.HeaterScaled, amount) }},
	{Name: "store leaks", needs: loopStore, Meaning: "a store of loop fluid loses its filling; the heater is bare once the level is below it",
		Amount: "litres a day", UsualAmount: 5, Least: 0, Most: 1e5,
		breakPlant: func(d *plant.Damage, amount float64) { d.StoreLeakLitresPerDay += amount }},
}
