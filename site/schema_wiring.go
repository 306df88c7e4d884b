package site

import (
	"slices"

	"sunstoker/control"
)

// placeHints says where a probe belongs, for the places that need it said.
var placeHints = map[control.Place]string{
	control.Collector:         ": at the collector's hot end, on the absorber or on the outlet pipe right behind it",
	control.TankTop:           ": in the water at the draw-off, above the backup heater",
	control.TankBottom:        ": in the water beside the solar coil",
	control.CoilReturn:        ": on the pipe that leads from the coil back to the collector",
	control.CirculationReturn: ": on the circulation's pipe, just before it is back in the tank",
	control.Tap:               ": on the pipe to the taps, behind the tempering valve",
	control.LoopFlow:          ": a flow meter in the loop's cold pipe",
	control.DrawFlow:          ": a flow meter in the tank's cold water inlet",
	control.LoopPressure:      ": beside the expansion vessel, with nothing to shut in between",
	control.PumpCurrent:       ": a current clamp around one wire of the loop pump, fitted by a qualified electrician",
	control.HeaterCurrent:     ": a current clamp around one wire of the backup heater, fitted by a qualified electrician",
	control.CirculationButton: ": a button near the taps that asks for hot water in the pipe",
	control.OutdoorAir:        ": in the shade, on the north side in the northern half of the world, away from walls and vents that are warm",
}

// probeTable holds one table per place: those of the house or of a system.
func probeTable(ofHouse bool) *table {
	t := &table{name: "probe", meaning: "The probes of the system, one table for every place."}
	if ofHouse {
		t.meaning = "The probes of the house, one table for every place."
	}
	for _, place := range control.Places() {
		if place.OfHouse() != ofHouse {
			continue
		}
		t.tables = append(t.tables, &table{
			name:    place.String(),
			meaning: "The " + place.Words() + " probe" + placeHints[place] + ".",
			rare:    place >= control.CoilReturn,
			keys:    probeKeys,
			enter: func(w *walker, t *target, at position) {
				t.probe = &ProbeWiring{Probe: control.Probe{System: t.index, Place: place}, FileLine: at.line}
				if ofHouse {
					t.probe.System = control.House
				}
				w.probes = append(w.probes, t.probe)
			},
		})
	}
	return t
}

// outputTable holds one table per actuator.
func outputTable() *table {
	t := &table{name: "output", meaning: "The outputs of the system, one table for everything that is switched."}
	for _, actuator := range control.Actuators() {
		t.tables = append(t.tables, &table{
			name:    actuator.String(),
			meaning: "What switches the " + actuator.Words() + ".",
			rare:    actuator >= control.HotWaterCirculation,
			keys:    keysOfOutput(actuator),
			enter: func(w *walker, t *target, at position) {
				t.output = &OutputWiring{Output: control.Output{System: t.index, Actuator: actuator}, FileLine: at.line}
				w.outputs = append(w.outputs, t.output)
			},
		})
	}
	return t
}

var outputKeys = slices.Concat([]key{
	{name: "kind", kind: choice, choices: []string{Relay, LevelFile, Modbus, SimulatedOutput}, required: true, example: Relay,
		meaning: `"relay" for a line of the kernel's GPIO device, "level file" for a number written into a file, as the kernel's LED class takes it, "modbus" for a coil of a Modbus module, "pwm" for the speed signal of a loop pump by the kernel's PWM class, "simulated" for a simulated plant.`,
		set:     func(t *target, v value) { t.output.Kind = v.text }},
	{name: "chip", kind: plainText, form: &chipForm, only: kinds{Relay}, when: "with a relay", example: "gpiochip0",
		meaning: "The GPIO chip that has the line.",
		set:     func(t *target, v value) { t.output.Chip = v.text }},
	{name: "line", kind: plainText, form: &lineForm, only: kinds{Relay}, when: "with a relay", example: "GPIO2#",
		meaning: "The line's label, or its number on the chip. The relay must be on while the line is high.",
		set:     func(t *target, v value) { t.output.Line = v.text }},
	{name: "pulses", unit: control.Hertz, min: 2, max: 50, only: kinds{Relay}, example: "10 Hz",
		meaning: "Written, the line goes up and down so often a second while the output is on, and stays low while it is off: for a retriggerable time relay or a charge pump between line and contactor that holds only as long as edges come, and so drops however program, board or kernel fail. Set it to drop after some three pulses. It must follow edges, not levels.",
		set:     func(t *target, v value) { t.output.PulseHertz = v.number }},
	{name: "without_guard", kind: yesNo, only: kinds{Relay}, def: "false",
		meaning: "Whether the relay may switch a heater without guard and without pulses, which nothing but this line allows: a program that hangs then keeps the heater on for 20 s, and on many boards one that dies leaves it on.",
		set:     func(t *target, v value) { t.output.WithoutGuard = v.on }},
	{name: "file", kind: plainText, form: &fileForm, only: kinds{LevelFile}, when: "with a level file", example: "/sys/class/leds/pump/brightness",
		meaning: "The file that takes the number: 0 is off.",
		set:     func(t *target, v value) { t.output.File = v.text }},
	{name: "full", kind: wholeNumber, min: 1, max: 65535, only: kinds{LevelFile}, example: "255",
		meaning: "The number that means full. Left out, it is what the kernel's max_brightness beside the file says, or 1.",
		set:     func(t *target, v value) { t.output.Full = int(v.number) }},
	{name: "drops_when_silent", kind: yesNo, only: kinds{LevelFile, Modbus}, def: "false",
		meaning: "Whether wiring or module drops the output by itself soon after this program falls silent. Else kernel or module keep it as it was when a program dies, so a heater may be on one only when this is true.",
		set:     func(t *target, v value) { t.output.DropsWhenSilent = v.on }},
}, coilKeys)

// pumpKeys are the keys of what drives a loop pump, which alone turns at speeds
// in between.
var pumpKeys = func() []key {
	keys := slices.Concat(outputKeys, pwmKeys, []key{{
		name: "least", unit: control.Percent, min: 5, max: 100, only: kinds{LevelFile, SpeedSignal}, example: "30 %",
		meaning: "The lowest speed that the pump still turns at. Written, the pump's speed is regulated between it and full; left out with a level file, the pump is only on or off.",
		set:     func(t *target, v value) { t.output.LeastLevel = v.number / 100 },
	}})
	keys[0].choices = []string{Relay, LevelFile, Modbus, SpeedSignal, SimulatedOutput}
	return keys
}()

func keysOfOutput(a control.Actuator) []key {
	if a == control.LoopPump {
		return pumpKeys
	}
	return outputKeys
}
