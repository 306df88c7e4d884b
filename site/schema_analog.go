package site

import (
	"strconv"
	"strings"

	"sunstoker/control"
)

// analogKinds are the kinds of probe at an analog converter; ratioKinds those of
// them that are a share of a supply which is measured beside them.
var (
	analogKinds = kinds{Thermistor, Pressure, CurrentClamp}
	ratioKinds  = kinds{Thermistor, Pressure}
)

var analogKeys = []key{
	{name: "i2c_device", kind: plainText, form: &i2cForm, only: analogKinds, when: "with a probe at an analog converter", example: "/dev/i2c-1",
		meaning: "The kernel's device of the I2C bus that the analog converter is on.",
		set:     func(t *target, v value) { t.probe.Analog.Device = v.text }},
	{name: "address", kind: choice, choices: []string{"0x48", "0x49", "0x4a", "0x4b"}, only: analogKinds, def: "0x48",
		meaning: "The converter's address on the bus, by where its address pin is tied: to ground, supply, data or clock.",
		set: func(t *target, v value) {
			n, _ := strconv.ParseUint(v.text, 0, 16) // a choice above
			t.probe.Analog.Address = uint16(n)
		}},
	{name: "input", kind: wholeNumber, min: 0, max: 3, only: analogKinds, when: "with a probe at an analog converter", example: "0",
		meaning: "The converter's input that the probe is wired to.",
		set:     func(t *target, v value) { t.probe.Analog.Input = int(v.number) }},
	{name: "supply_input", kind: wholeNumber, min: 0, max: 3, only: ratioKinds, when: "with a thermistor or a pressure sensor", example: "3",
		meaning: "The input of the same converter that measures what the probe is supplied with, so that a supply that sags is not taken for a change. All probes of a converter may share it.",
		set:     func(t *target, v value) { t.probe.Analog.SupplyInput = int(v.number) }},
	{name: "resistance_at_25", kind: quantity, unit: control.Ohm, min: 500, max: 200_000, only: kinds{Thermistor}, when: "with a thermistor", example: "10 kΩ",
		meaning: "The thermistor's resistance at 25 °C.",
		set:     func(t *target, v value) { t.probe.Analog.Ohm25 = v.number }},
	{name: "beta", kind: quantity, unit: control.Kelvin, min: 2500, max: 5000, only: kinds{Thermistor}, when: "with a thermistor", example: "3977 K",
		meaning: "The thermistor's beta between 25 and 85 °C, as its maker gives it.",
		set:     func(t *target, v value) { t.probe.Analog.BetaK = v.number }},
	{name: "divider", kind: quantity, unit: control.Ohm, min: 100, max: 200_000, only: kinds{Thermistor}, when: "with a thermistor", example: "4.7 kΩ",
		meaning: "The fixed resistor between supply and input; the thermistor is between input and ground. A smaller one shows hot places better.",
		set:     func(t *target, v value) { t.probe.Analog.DividerOhm = v.number }},
	{name: "span", kind: quantity, unit: control.Bar, min: 1, max: 60, only: kinds{Pressure}, when: "with a pressure sensor", example: "10 bar",
		meaning: "The pressure above the air around it at which the sensor gives 4.5 V.",
		set:     func(t *target, v value) { t.probe.Analog.SpanBar = v.number }},
	{name: "current_at_1_volt", kind: quantity, unit: control.Ampere, min: 0.5, max: 200, only: kinds{CurrentClamp}, when: "with a current clamp", example: "30 A",
		meaning: "The current at which the clamp gives 1 V.",
		set:     func(t *target, v value) { t.probe.Analog.AmperePerVolt = v.number }},
}

var i2cForm = form{
	allowed: `the kernel's I2C device, such as "/dev/i2c-1"`,
	wrong: func(text string) string {
		bus, ok := strings.CutPrefix(text, "/dev/i2c-")
		if !ok || !isDeviceNumber(bus) {
			return strconv.Quote(text) + " is no I2C device"
		}
		return ""
	},
}
