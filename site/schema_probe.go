package site

import (
	"slices"
	"strconv"
	"strings"
)

// probeKeys are the keys of every probe's table: those of all kinds, since the
// kind is read beside them.
var probeKeys = slices.Concat([]key{
	{name: "kind", kind: choice, choices: probeKindNames(), required: true, example: OneWire,
		meaning: probeKindMeaning(),
		set:     func(t *target, v value) { t.probe.Kind = v.text }},
	{name: "identity", kind: plainText, form: &identityForm, only: kinds{OneWire}, when: "with a one-wire probe", example: "28-00000000000#",
		meaning: "The number that the probe was given by its maker, as the kernel writes it: the name of the probe's folder below /sys/bus/w1/devices. The command \"probe\" shows all of them, and names the one that is warmed in the hand.",
		set:     func(t *target, v value) { t.probe.Identity = v.text }},
}, platinumKeys, analogKeys, contactKeys, modbusKeys, feltKeys)

func probeKindNames() []string {
	var names []string
	for _, k := range probeKinds {
		names = append(names, k.name)
	}
	return names
}

func probeKindMeaning() string {
	var parts []string
	for _, k := range probeKinds {
		parts = append(parts, strconv.Quote(k.name)+" for "+k.words)
	}
	return strings.Join(parts, ", ") + "."
}
