package site

import (
	"fmt"

	"sunstoker/control"
)

// maxSystems bounds the systems of one house.
const maxSystems = 16

const (
	pumped  = "pumped"
	natural = "natural"
	water   = "water"
	glycol  = "propylene glycol"
)

func systemTable() *table {
	return &table{
		name: "system", required: true, list: true,
		meaning: "One collector field with its tank. Write it, with all tables below it, once for every system of the house.",
		keys: []key{
			{name: "name", kind: plainText, form: &nameForm, required: true, example: "roof",
				meaning: "What the system is called on the page, in messages and in saved counters. No two systems of a house may share a name.",
				set:     func(t *target, v value) { t.system.Name = v.text }},
			{name: "loop", kind: choice, choices: []string{pumped, natural}, required: true, example: pumped,
				meaning: `How the fluid moves between collector and tank: "pumped", or "natural" when natural circulation alone moves it.`,
				set: func(t *target, v value) {
					t.system.Loop = control.Pumped
					if v.text == natural {
						t.system.Loop = control.Natural
					}
				}},
			{name: "store", kind: choice, choices: []string{DrinkingWater.String(), LoopFluid.String()}, def: DrinkingWater.String(),
				meaning: `What the tank holds: "drinking water" that a solar coil heats, or "loop fluid" with a coil for the drinking water in it.`,
				set: func(t *target, v value) {
					if v.text == LoopFluid.String() {
						t.system.Store = LoopFluid
					}
				}},
			{name: "fluid", kind: choice, choices: []string{water, glycol}, required: true, example: glycol,
				meaning: "What the loop is filled with: plain water, or water with propylene glycol against frost.",
				set:     func(t *target, v value) { t.system.Glycol = v.text == glycol }},
			{name: "antifreeze", unit: control.Percent, min: 10, max: 60, when: "with propylene glycol", example: "40 %",
				meaning: "Share of propylene glycol in the loop, by volume, as the refractometer reads it.",
				set:     func(t *target, v value) { t.system.AntifreezePercent = v.number }},
			{name: "loop_pressure", unit: control.Bar, min: 0, max: 9, when: "in a pumped loop", example: "2.0 bar",
				meaning: "Pressure of the cold loop at the collector, above the air around it: what the gauge shows, less 0.1 bar for every metre that the collector stands above the gauge. It decides when the fluid boils. Natural circulation without it is filled to the pressure of the air.",
				set:     func(t *target, v value) { t.system.LoopPressureBar = v.number }},
			{name: "loop_flow", unit: control.LitrePerMin, min: 0.2, max: 200, when: "in a pumped loop", example: "4 l/min",
				meaning: "Flow in the loop while the pump runs at full.",
				set:     func(t *target, v value) { t.system.LoopFlowLPerMin = v.number }},
			{name: "pump_power", unit: control.Watt, min: 2, max: 2000, def: "25 W",
				meaning: "Electricity that the loop pump takes at full, for the energy book. It stands on the pump's plate.",
				set:     func(t *target, v value) { t.system.PumpW = v.number }},
			{name: "circulation_flow", unit: control.LitrePerMin, min: 0.3, max: 60, def: "3 l/min",
				meaning: "Flow in the hot-water circulation while its pump runs: with a circulation return probe the energy book counts by it what the pipes lose.",
				set:     func(t *target, v value) { t.system.CirculationLMin = v.number }},
			{name: "circulation_power", unit: control.Watt, min: 1, max: 500, def: "8 W",
				meaning: "Electricity that the pump of the hot-water circulation takes, for the energy book.",
				set:     func(t *target, v value) { t.system.CirculationW = v.number }},
			{name: "draw_share", unit: control.Percent, min: 0, max: 100, example: "100 %",
				meaning: "Share of the house's hot water that is drawn from this system. Used by simulate alone; written in every system or in none, and then the shares are equal.",
				set:     func(t *target, v value) { t.system.DrawSharePercent = v.number }},
			{name: "promised_heat", kind: plainText, form: &promiseForm, example: "95, 120, 180, 210, 240, 250, 260, 240, 190, 140, 95, 80 kWh",
				meaning: "Heat from the sun that was planned to come into the tank in a usual year, from January to December. The page holds it against what came; left out, it holds against nothing.",
				set:     func(t *target, v value) { t.system.PromisedKWh, _ = parsePromise(v.text) }}, // the form has proved it
		},
		tables: []*table{&collectorTable, &tankTable, &tankFittingsTable, &loopFluidStoreTable, &heaterTable, &plumbingTable, &hotWaterLineTable, &servicedTable, probeTable(false), outputTable(), &settingsOfSystem},
		enter: func(w *walker, t *target, at position) {
			t.index = len(w.systems)
			t.system = &System{Settings: t.site.Settings}
			w.systems = append(w.systems, t.system)
			if t.index == maxSystems {
				w.wrong("system", at, fmt.Sprintf("a house can have %d systems at most", maxSystems), "describe the others in a site file of their own, on a board of their own")
			}
		},
	}
}

var collectorTable = table{
	name: "collector", required: true,
	meaning: "The collector field, with the figures of its test report (ISO 9806). Area and figures must be of the same kind, gross or aperture.",
	keys: []key{
		{name: "area", unit: control.SquareMetre, min: 0.5, max: 500, required: true, example: "4 m²",
			meaning: "Area of all collectors together.",
			set:     func(t *target, v value) { t.system.Collector.AreaM2 = v.number }},
		{name: "tilt", unit: control.Degree, min: 0, max: 90, required: true, example: "40 °",
			meaning: "Tilt: 0 ° lies flat, 90 ° stands upright.",
			set:     func(t *target, v value) { t.system.Collector.TiltDeg = v.number }},
		{name: "direction", unit: control.Degree, min: 0, max: 360, required: true, example: "180 °",
			meaning: "Where the collector looks to, clockwise from north: 90 ° east, 180 ° south, 270 ° west.",
			set:     func(t *target, v value) { t.system.Collector.DirectionDeg = v.number }},
		{name: "optical_efficiency", unit: control.Percent, min: 30, max: 95, required: true, example: "78 %",
			meaning: "Efficiency without heat loss (eta 0 of the test report).",
			set:     func(t *target, v value) { t.system.Collector.OpticalEfficiencyPercent = v.number }},
		{name: "loss", unit: control.LossPerArea, min: 0.3, max: 30, required: true, example: "3.8 W/(m² K)",
			meaning: "Heat loss by area (a1 of the test report).",
			set:     func(t *target, v value) { t.system.Collector.LossWM2K = v.number }},
		{name: "loss_growth", unit: control.LossPerArea2, min: 0, max: 0.2, required: true, example: "0.012 W/(m² K²)",
			meaning: "How the heat loss grows with temperature (a2 of the test report).",
			set:     func(t *target, v value) { t.system.Collector.LossGrowthWM2K2 = v.number }},
	},
}

var tankTable = table{
	name: "tank", required: true,
	meaning: "The tank.",
	keys: []key{
		{name: "volume", unit: control.Litre, min: 30, max: 20000, required: true, example: "200 l",
			meaning: "Water in the tank.",
			set:     func(t *target, v value) { t.system.Tank.VolumeL = v.number }},
		{name: "loss", unit: control.LossRate, min: 0.2, max: 100, required: true, example: "1.9 W/K",
			meaning: "Standing loss: the heat that leaves the tank for every kelvin it is hotter than the room. A label that gives the loss in W was measured at 45 K: divide it by 45.",
			set:     func(t *target, v value) { t.system.Tank.LossWK = v.number }},
		{name: "tempering_valve", unit: control.Celsius, min: 35, max: 60, example: "50 °C",
			meaning: "What the tempering valve behind the tank is set to; it mixes cold water in so that taps don't scald. Leave it out when there is none.",
			set:     func(t *target, v value) { t.system.Tank.TemperingC = v.number }},
	},
}

var heaterTable = table{
	name:    "heater",
	meaning: "The backup heater in the tank. Needed when there is an output backup_heater.",
	keys: []key{
		{name: "power", unit: control.Watt, min: 100, max: 30000, required: true, example: "2 kW",
			meaning: "Rated electric power.",
			set:     func(t *target, v value) { t.system.Heater.PowerW = v.number }},
		{name: "cut_out", unit: control.Celsius, min: 60, max: 110, example: "90 °C",
			meaning: "Where the heater's own safety cut-out with manual reset opens. It works without this program and must be there; leave it out only until you have found it. simulate takes it that there is none when none is written.",
			set:     func(t *target, v value) { t.system.Heater.CutOutC = v.number }},
		{name: "height", unit: control.Percent, min: 0, max: 100, def: "60 %",
			meaning: "Where the element sits, as a share of the tank's height; it heats from there upwards. Used by simulate, by hot_water_surety and by the hand-over's trial of the heater.",
			set:     func(t *target, v value) { t.system.Heater.HeightPercent = v.number }},
		{name: "thermostat", unit: control.Celsius, min: 30, max: 100, example: "78 °C",
			meaning: "Where the heater's own thermostat opens. Used by simulate alone; left out it is 78 °C, and 5 K below the cut-out at most.",
			set:     func(t *target, v value) { t.system.Heater.ThermostatC = v.number }},
		{name: "no_thermostat", kind: yesNo, def: "false",
			meaning: "true when the heater has no thermostat of its own. Used by simulate alone.",
			set:     func(t *target, v value) { t.system.Heater.NoThermostat = v.on }},
	},
}

var settingsOfSystem = table{
	name:    "settings",
	meaning: "Settings of this system alone; those not written are taken from the house.",
	keys:    settingKeys(),
	enter:   func(_ *walker, t *target, _ position) { t.settings = &t.system.Settings },
}
