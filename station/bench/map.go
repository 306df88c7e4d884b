package bench

import (
	"fmt"
	"strings"

	"sunstoker/control"
	"sunstoker/site"
)

// Unit is the number of the bench's module on its line.
const Unit = 1

// registersEach is how many registers a reading takes: IEEE 754, high word first.
const registersEach = 2

// registerOf is the input register of a reading, from 0 as on the wire.
func registerOf(reading int) uint16 { return uint16(registersEach * reading) }

// Map is the register map of a site's bench, for people.
func Map(s *site.Site) string {
	var b strings.Builder
	fmt.Fprintf(&b, "Unit %d. Numbers count from 0, as on the wire.\n\n", Unit)
	fmt.Fprintf(&b, "Input registers (function 4): two for each reading, IEEE 754, high word first; no number when the probe gives none.\n")
	for i, p := range s.Plan.Probes {
		fmt.Fprintf(&b, "%5d  %s, %s\n", registerOf(i), probeWords(s, p), unitWords(p.Place))
	}
	fmt.Fprintf(&b, "\nCoils (functions 1, 5 and 15): on is on. One that nobody has written for %.0f s drops.\n", dropsAfter.Seconds())
	for i, o := range s.Plan.Outputs {
		fmt.Fprintf(&b, "%5d  %s\n", i, outputWords(s, o))
	}
	return b.String()
}

func unitWords(p control.Place) string {
	if unit := p.Unit().String(); unit != "" {
		return unit
	}
	return "1 while pressed"
}

func probeWords(s *site.Site, p control.Probe) string {
	if p.System == control.House {
		return p.Place.Words()
	}
	return ofSystem(s, p.System, p.Place.Words())
}

func outputWords(s *site.Site, o control.Output) string {
	return ofSystem(s, o.System, o.Actuator.Words())
}

func ofSystem(s *site.Site, system int, words string) string {
	if len(s.Systems) == 1 {
		return words
	}
	return words + " of " + s.Systems[system].Name
}
