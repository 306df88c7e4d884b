package site

import "sunstoker/control"

// The tables and formats of registers, as a site file writes them.
const (
	InputRegisters   = "input"
	HoldingRegisters = "holding"

	SignedFigure   = "signed"
	UnsignedFigure = "unsigned"
	FloatFigure    = "float"
)

// moduleKeys say which module on which line, for a probe or an output; of gives
// where that is kept.
func moduleKeys(when string, of func(*target) (*Connection, *uint8)) []key {
	return []key{
		{name: "connection", kind: plainText, form: &connectionForm, only: kinds{Modbus}, when: when, example: "192.168.1.20:502",
			meaning: "The line to the Modbus module: its address and port, or the serial device with speed and parity. All probes and outputs of one line write it alike. Keep such a line on a network of its own: Modbus has no password.",
			set: func(t *target, v value) {
				connection, _ := of(t)
				*connection = mustConnection(v.text)
			}},
		{name: "unit_number", kind: wholeNumber, min: 1, max: 247, only: kinds{Modbus}, def: "1",
			meaning: "The module's unit number, by which it is told from others on the same line.",
			set: func(t *target, v value) {
				_, unit := of(t)
				*unit = uint8(v.number)
			}},
	}
}

const whenRegister, whenCoil = "with a register of a Modbus module", "with a coil of a Modbus module"

var modbusKeys = append(moduleKeys(whenRegister, func(t *target) (*Connection, *uint8) {
	return &t.probe.Register.Connection, &t.probe.Register.Unit
}), []key{
	{name: "register", kind: wholeNumber, min: 0, max: 65535, only: kinds{Modbus}, when: whenRegister, example: "0",
		meaning: "The register's number, counted from 0. Papers that count from 1, or write 30001 or 40001 for the first, mean 0.",
		set:     func(t *target, v value) { t.probe.Register.Number = uint16(v.number) }},
	{name: "register_table", kind: choice, choices: []string{InputRegisters, HoldingRegisters}, only: kinds{Modbus}, def: InputRegisters,
		meaning: "Whether it is an input register (30001 in some papers) or a holding register (40001).",
		set:     func(t *target, v value) { t.probe.Register.Holding = v.text == HoldingRegisters }},
	{name: "register_format", kind: choice, choices: []string{SignedFigure, UnsignedFigure, FloatFigure}, only: kinds{Modbus}, def: SignedFigure,
		meaning: `How the figure is held: "signed" or "unsigned" in 16 bits, "float" in two registers, the high one first.`,
		set:     func(t *target, v value) { t.probe.Register.Format = v.text }},
	{name: "scale", kind: quantity, unit: control.Plain, min: -1000, max: 1000, only: kinds{Modbus}, def: "1",
		meaning: "What one step of the register stands for, in the unit of the place: °C, l/min, bar or A. A module that gives tenths of 1 °C has 0.1.",
		set:     func(t *target, v value) { t.probe.Register.Scale = v.number }},
	{name: "offset", kind: quantity, unit: control.Plain, min: -10_000, max: 10_000, only: kinds{Modbus}, def: "0",
		meaning: "What is added then, in the same unit. A module that gives kelvins has -273.15.",
		set:     func(t *target, v value) { t.probe.Register.Offset = v.number }},
}...)

var coilKeys = append(moduleKeys(whenCoil, func(t *target) (*Connection, *uint8) {
	return &t.output.Coil.Connection, &t.output.Coil.Unit
}), key{
	name: "coil", kind: wholeNumber, min: 0, max: 65535, only: kinds{Modbus}, when: whenCoil, example: "0",
	meaning: "The coil's number, counted from 0. The relay must be on while the coil is on.",
	set:     func(t *target, v value) { t.output.Coil.Number = uint16(v.number) },
})
