package site

import "sunstoker/control"

// plumbingTable and hotWaterLineTable say what a simulation wants to know of
// the pipes; the controller looks at the relief valve's setting alone.
var plumbingTable = table{
	name:    "plumbing",
	meaning: "Pipes and safety parts of the loop. Used by simulate alone, but for relief_valve; what is left out is of the usual size.",
	keys: []key{
		{name: "pipe_length", unit: control.Metre, min: 0.5, max: 200, example: "12 m",
			meaning: "Length of the pipe from collector to tank, one way.",
			set:     func(t *target, v value) { t.system.Plumbing.PipeLengthM = v.number }},
		{name: "pipe_bore", unit: control.Metre, min: 0.006, max: 0.1, example: "16 mm",
			meaning: "Inner diameter of that pipe.",
			set:     func(t *target, v value) { t.system.Plumbing.PipeBoreM = v.number }},
		{name: "pipe_outdoors", unit: control.Percent, min: 0, max: 100, def: "30 %",
			meaning: "Share of its length that lies out of doors.",
			set:     func(t *target, v value) { t.system.Plumbing.OutdoorPercent = v.number }},
		{name: "height", unit: control.Metre, min: -20, max: 60, example: "5 m",
			meaning: "How high the collector's middle lies above the coil's; below it with a minus, as natural circulation needs. Left out it is of the usual size.",
			set:     func(t *target, v value) { t.system.Plumbing.HeightM, t.system.Plumbing.HeightGiven = v.number, true }},
		{name: "no_check_valve", kind: yesNo, def: "false",
			meaning: "true when a pumped loop has no check valve, so that the tank can warm the roof at night. Natural circulation has none unless check_valve_opens is written.",
			set:     func(t *target, v value) { t.system.Plumbing.NoCheckValve = v.on }},
		{name: "heat_dump", unit: control.LossRate, min: 1, max: 10000, example: "40 W/K",
			meaning: "Heat that the heat dump's radiator gives to the outdoor air, for every kelvin that the fluid is hotter; with [system.output.heat_dump]. Left out it is of the usual size.",
			set:     func(t *target, v value) { t.system.Plumbing.HeatDumpWK = v.number }},
		{name: "check_valve_opens", unit: control.Bar, min: 0.0001, max: 0.5, example: "20 mbar",
			meaning: "Pressure that lifts the check valve. Left out, it is one that the warmth of the collector alone never lifts.",
			set:     func(t *target, v value) { t.system.Plumbing.CheckOpensBar = v.number }},
		{name: "expansion_vessel", unit: control.Litre, min: 1, max: 1000, example: "24 l",
			meaning: "Whole volume of the loop's expansion vessel.",
			set:     func(t *target, v value) { t.system.Plumbing.VesselL = v.number }},
		{name: "no_vessel", kind: yesNo, def: "false",
			meaning: "true when the loop has no expansion vessel, to see what happens then. Never run a real loop so.",
			set:     func(t *target, v value) { t.system.Plumbing.NoVessel = v.on }},
		{name: "relief_valve", unit: control.Bar, min: 1, max: 10, example: "6 bar",
			meaning: "Where the loop's relief valve opens, above the air around it: its plate says so. A loop_pressure reading near to it is a finding, and the hand-over judges the expansion vessel by it. Left out, the finding goes by 6 bar, and the hand-over asks for it.",
			set:     func(t *target, v value) { t.system.Plumbing.ReliefBar = v.number }},
		{name: "no_relief_valve", kind: yesNo, def: "false",
			meaning: "true when the loop has no relief valve, to see what happens then. Never run a real loop so.",
			set:     func(t *target, v value) { t.system.Plumbing.NoReliefValve = v.on }},
	},
}

var hotWaterLineTable = table{
	name:    "hot_water_line",
	meaning: "The hot-water pipe from the tank to the taps. Used by simulate alone; without this table the taps stand beside the tank.",
	keys: []key{
		{name: "length", unit: control.Metre, min: 0.5, max: 300, required: true, example: "15 m",
			meaning: "Length from the tank to the taps.",
			set:     func(t *target, v value) { t.system.HotWaterLine.LengthM = v.number }},
		{name: "bore", unit: control.Metre, min: 0.006, max: 0.1, required: true, example: "16 mm",
			meaning: "Inner diameter.",
			set:     func(t *target, v value) { t.system.HotWaterLine.BoreM = v.number }},
		{name: "circulation", kind: yesNo, def: "false",
			meaning: "true when there is a return pipe with a pump. With [system.output.hot_water_circulation] the program switches that pump, else it runs all day.",
			set:     func(t *target, v value) { t.system.HotWaterLine.Circulation = v.on }},
	},
}
