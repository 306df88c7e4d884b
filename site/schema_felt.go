package site

import "sunstoker/control"

// Felt is how a probe follows its place and scatters; a simulation alone uses it.
type Felt struct {
	LagS     float64 // time constant; counts when LagGiven
	LagGiven bool    // LagS is written, and may be 0
	Noise    string  // NoNoise, UsualNoise or HighNoise
}

// How much a probe's readings scatter, as a site file writes it.
const (
	NoNoise    = "none"
	UsualNoise = "usual"
	HighNoise  = "high"
)

// feltKeys fit probes of all kinds.
var feltKeys = []key{
	{name: "lag", unit: control.Second, min: 0, max: 1800, example: "30 s",
		meaning: "Time constant with which the probe follows what it is fixed to. Used by simulate alone; left out it is the usual one of the place.",
		set:     func(t *target, v value) { t.probe.Felt.LagS, t.probe.Felt.LagGiven = v.number, true }},
	{name: "noise", kind: choice, choices: []string{NoNoise, UsualNoise, HighNoise}, def: UsualNoise,
		meaning: `How much its readings scatter in a simulation: "none", "usual", or "high" for a long cable beside mains wires. Used by simulate alone.`,
		set:     func(t *target, v value) { t.probe.Felt.Noise = v.text }},
}
