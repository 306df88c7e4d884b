package site

import "sunstoker/control"

// tankFittingsTable and loopFluidStoreTable say what a simulation wants to know
// of the tank; the controller looks at the heights of probes and heater alone.
// Heights are shares of the tank's.
var tankFittingsTable = table{
	name:    "tank_fittings",
	meaning: "Measures and fittings of the tank. Used by simulate alone, but for where the probes sit; what is left out is of the usual size. Heights are shares of the tank's height, from its bottom.",
	keys: []key{
		{name: "height", unit: control.Metre, min: 0.3, max: 10, example: "1.6 m",
			meaning: "Height of the tank's inside.",
			set:     func(t *target, v value) { t.system.TankFittings.HeightM = v.number }},
		{name: "coil_area", unit: control.SquareMetre, min: 0.05, max: 200, example: "1.2 m²",
			meaning: "Outer surface of the solar coil. Left out, it fits the collector.",
			set:     func(t *target, v value) { t.system.TankFittings.CoilAreaM2 = v.number }},
		{name: "coil_bottom", unit: control.Percent, min: 0, max: 98, example: "5 %",
			meaning: "Lower end of the solar coil; in a store of loop fluid, where the loop's fluid leaves it. Write coil_top too.",
			set:     func(t *target, v value) { t.system.TankFittings.CoilBottomPercent = v.number }},
		{name: "coil_top", unit: control.Percent, min: 2, max: 100, example: "45 %",
			meaning: "Upper end of the solar coil; in a store of loop fluid, where the loop's fluid enters it. Write coil_bottom too.",
			set:     func(t *target, v value) { t.system.TankFittings.CoilTopPercent = v.number }},
		{name: "inlet_stirs", unit: control.Percent, min: 0, max: 100, def: "0 %",
			meaning: "Lowest part of the tank that the jet of the cold inlet stirs while water is drawn: 0 % a good inlet, 10 to 30 % a bare pipe end.",
			set:     func(t *target, v value) { t.system.TankFittings.InletStirsPercent = v.number }},
		{name: "top_probe", unit: control.Percent, min: 0, max: 100, def: "85 %",
			meaning: "Where the tank top probe sits. hot_water_surety looks at it too.",
			set:     func(t *target, v value) { t.system.TankFittings.TopProbePercent = v.number }},
		{name: "bottom_probe", unit: control.Percent, min: 0, max: 100, def: "20 %",
			meaning: "Where the tank bottom probe sits. hot_water_surety looks at it too.",
			set:     func(t *target, v value) { t.system.TankFittings.LowProbePercent = v.number }},
		{name: "relief_valve", unit: control.Celsius, min: 70, max: 99, example: "95 °C",
			meaning: "Where the tank's temperature relief valve opens.",
			set:     func(t *target, v value) { t.system.TankFittings.ReliefC = v.number }},
		{name: "no_relief_valve", kind: yesNo, def: "false",
			meaning: "true when the tank has no temperature relief valve, to see what happens then. Never run a real tank so.",
			set:     func(t *target, v value) { t.system.TankFittings.NoReliefValve = v.on }},
	},
}

var loopFluidStoreTable = table{
	name: "loop_fluid_store", rare: true,
	meaning: `What a store = "loop fluid" has beside its tank. Used by simulate alone.`,
	keys: []key{
		{name: "tap_coil_area", unit: control.SquareMetre, min: 0.1, max: 200, example: "4 m²",
			meaning: "Outer surface of the coil of drinking water in the store.",
			set:     func(t *target, v value) { t.system.LoopFluidStore.TapCoilAreaM2 = v.number }},
		{name: "feed_by_layers", kind: yesNo, def: "false",
			meaning: "true when the loop's fluid comes in where the store is as warm as it, and not at one height.",
			set:     func(t *target, v value) { t.system.LoopFluidStore.FeedByLayers = v.on }},
		{name: "fluid_loss", unit: control.Litre, min: 0, max: 100, def: "0.02 l",
			meaning: "What evaporates from the store in a day.",
			set:     func(t *target, v value) { t.system.LoopFluidStore.FluidLossL = v.number }},
	},
}
