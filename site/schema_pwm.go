package site

import "sunstoker/control"

var pwmKinds = kinds{SpeedSignal}

// pwmKeys belong to the loop pump's output: nothing else turns at speeds in
// between. Frequency and signals of pumps: VDMA specification 24244 (from
// memory): 100 to 4000 Hz; solar pumps take a rising signal, heating pumps a
// falling one.
var pwmKeys = []key{
	{name: "pwm_chip", kind: plainText, form: &pwmForm, only: pwmKinds, when: "with a pwm signal", example: "/sys/class/pwm/pwmchip0",
		meaning: "The folder of the kernel's PWM chip.",
		set:     func(t *target, v value) { t.output.PWM.Folder = v.text }},
	{name: "pwm_channel", kind: wholeNumber, min: 0, max: 63, only: pwmKinds, def: "0",
		meaning: "The channel of that chip.",
		set:     func(t *target, v value) { t.output.PWM.Channel = int(v.number) }},
	{name: "signal_frequency", kind: quantity, unit: control.Hertz, min: 50, max: 5000, only: pwmKinds, def: "1000 Hz",
		meaning: "The frequency that the pump's papers ask for.",
		set:     func(t *target, v value) { t.output.PWM.Hertz = v.number }},
	{name: "signal_stop", kind: quantity, unit: control.Percent, min: 0, max: 100, only: pwmKinds, when: "with a pwm signal", example: "0 %",
		meaning: "The on-time at the pump's input at which it surely stands still. It tells the direction: 0 % with a rising signal (solar pumps), 100 % with a falling one (heating pumps, which run at full when the wire breaks).",
		set:     func(t *target, v value) { t.output.PWM.Stop = v.number / 100 }},
	{name: "signal_slowest", kind: quantity, unit: control.Percent, min: 0, max: 100, only: pwmKinds, when: "with a pwm signal", example: "15 %",
		meaning: "The on-time at which the pump turns at its least speed.",
		set:     func(t *target, v value) { t.output.PWM.Slowest = v.number / 100 }},
	{name: "signal_full", kind: quantity, unit: control.Percent, min: 0, max: 100, only: pwmKinds, when: "with a pwm signal", example: "90 %",
		meaning: "The on-time at which the pump turns at full.",
		set:     func(t *target, v value) { t.output.PWM.Full = v.number / 100 }},
	{name: "signal_inverted", kind: yesNo, only: pwmKinds, def: "false",
		meaning: "Whether the wiring between board and pump turns the signal around, as a transistor that pulls it to ground does.",
		set:     func(t *target, v value) { t.output.PWM.Inverted = v.on }},
}

var pwmForm = form{
	allowed: `the folder of a PWM chip, such as "/sys/class/pwm/pwmchip0"`,
	wrong:   wrongPath,
}
