package site

import "sunstoker/control"

// contactKinds are the kinds of probe that are a contact at an input line.
var contactKinds = kinds{FlowMeter, ElectricityMeter, Button}

var contactKeys = []key{
	{name: "chip", kind: plainText, form: &chipForm, only: contactKinds, when: "with a contact at a GPIO line", example: "gpiochip0",
		meaning: "The GPIO chip that has the probe's line.",
		set:     func(t *target, v value) { t.probe.Contact.Chip = v.text }},
	{name: "line", kind: plainText, form: &lineForm, only: contactKinds, when: "with a contact at a GPIO line", example: "GPIO1#",
		meaning: "The line's label, or its number on the chip. The contact or open collector is between line and ground; the pull-up is the board's own.",
		set:     func(t *target, v value) { t.probe.Contact.Line = v.text }},
	{name: "settle", kind: quantity, unit: control.Second, min: 0.0002, max: 0.2, only: contactKinds, def: "0.01 s",
		meaning: "How long the contact must be quiet before a change counts: longer than it bounces, shorter than a pulse. A fast flow meter with an electronic output needs a shorter one.",
		set:     func(t *target, v value) { t.probe.Contact.SettleS = v.number }},
	{name: "litres_per_pulse", kind: quantity, unit: control.Litre, min: 0.0005, max: 10, only: kinds{FlowMeter}, when: "with a flow meter", example: "0.5 l",
		meaning: "What one pulse stands for. With more than 1 l a flow that stops is seen late.",
		set:     func(t *target, v value) { t.probe.Contact.LitresPerPulse = v.number }},
	{name: "pulses_per_kwh", kind: wholeNumber, min: 1, max: 100_000, only: kinds{ElectricityMeter}, when: "with an electricity meter", example: "1000",
		meaning: "How many pulses the meter gives for 1 kWh; it is printed on it.",
		set:     func(t *target, v value) { t.probe.Contact.PulsesPerKWh = v.number }},
	{name: "mains_voltage", kind: quantity, unit: control.Volt, min: 90, max: 260, only: kinds{ElectricityMeter}, def: "230 V",
		meaning: "The voltage behind the meter, by which its power becomes a current.",
		set:     func(t *target, v value) { t.probe.Contact.MainsV = v.number }},
}
