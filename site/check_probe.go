package site

import (
	"fmt"
	"slices"

	"sunstoker/control"
)

// checkProbe looks at the wiring of one probe. taken holds what others use.
func (w *walker) checkProbe(taken map[string]position, p *ProbeWiring) {
	path, name := w.wiringPath(p.System, "probe", p.Place.String())
	w.checkKind(path, name, probeKeys, p.Kind)
	c := &probeCheck{walker: w, ProbeWiring: p, path: path, name: name}
	c.checkUnit()
	switch p.Kind {
	case OneWire:
		c.once(taken, "identity", "the probe "+p.Identity, "one probe can be in one place only; find out which is which by warming one in the hand")
	case Platinum:
		c.once(taken, "spi_device", "the device "+p.Platinum.Device, "give every converter a chip select of its own")
		c.checkPlatinum()
	case Thermistor, Pressure, CurrentClamp:
		c.checkAnalog(taken)
	case FlowMeter, ElectricityMeter, Button:
		c.checkContact(taken)
	case Modbus:
		c.checkRegister(taken)
	}
}

// probeCheck is one probe while it is looked at.
type probeCheck struct {
	*walker
	*ProbeWiring
	path, name string
}

// solid tells whether keys of the probe were written and can be relied on.
func (c *probeCheck) solid(keys ...string) bool {
	for _, key := range keys {
		if !c.sound[join(c.path, key)] {
			return false
		}
	}
	return true
}

func (c *probeCheck) wrongKey(key, what, do string) {
	c.wrong(join(c.name, key), c.where(join(c.path, key)), what, do)
}

// once complains when another probe or output uses the thing that a key names.
func (c *probeCheck) once(taken map[string]position, key, thing, do string) {
	if c.solid(key) {
		c.takeOnce(taken, thing, join(c.path, key), join(c.name, key), thing+" is named in line ", do)
	}
}

// checkUnit holds what the kind can tell against what the place is measured in.
func (c *probeCheck) checkUnit() {
	i := slices.IndexFunc(probeKinds, func(k probeKind) bool { return k.name == c.Kind })
	if i < 0 {
		return // said already
	}
	unit := c.Place.Unit()
	if units := probeKinds[i].units; len(units) == 0 || slices.Contains(units, unit) {
		return
	}
	c.wrongKey("kind", "a probe of this kind tells "+orList(measures(probeKinds[i].units))+", but the "+c.Place.Words()+" is "+whatIsRead(unit),
		"write kind = "+quotedList(kindsFor(unit))+", or take the table out")
}

func measures(units []control.Unit) []string {
	var words []string
	for _, u := range units {
		words = append(words, u.Measures())
	}
	return words
}

// whatIsRead says in words what the readings of a place are.
func whatIsRead(unit control.Unit) string {
	if unit == control.Plain {
		return "pressed or not"
	}
	return unit.Measures()
}

// kindsFor lists the kinds that can tell a unit.
func kindsFor(unit control.Unit) []string {
	var names []string
	for _, k := range probeKinds {
		if len(k.units) == 0 || slices.Contains(k.units, unit) {
			names = append(names, k.name)
		}
	}
	return names
}

// fastFlowLPerMin is a flow up to which a meter's pulses must not run into each
// other; a house's loop and draw stay below it (common practice, no source).
const fastFlowLPerMin = 30

func (c *probeCheck) checkContact(taken map[string]position) {
	p := &c.Contact
	if c.solid("chip", "line") {
		c.takeLine(taken, p.Chip, p.Line, c.path, c.name)
	}
	if c.Kind == ElectricityMeter && c.Place == control.PumpCurrent && c.solid("kind") {
		c.wrongKey("kind", "a pump takes more current than its power says, so that a meter's pulses would mislead", "write kind = "+quotedList([]string{CurrentClamp})+", or take the table out")
	}
	if c.Kind != FlowMeter || !c.solid("settle", "litres_per_pulse") {
		return
	}
	gapS := 60 * p.LitresPerPulse / fastFlowLPerMin
	if most := gapS / 4; p.SettleS > most { // a pulse is some half of the gap, and jitters
		c.wrongKey("settle", fmt.Sprintf("at %d l/min the pulses of this meter are %.3g s apart, too near for a contact that takes %s to settle", fastFlowLPerMin, gapS, control.Second.Format(p.SettleS)),
			fmt.Sprintf("write settle = \"%.2g s\" or less, for a meter with an electronic output, or use one with more litres per pulse", most))
	}
}

// checkAnalog keeps the inputs of a converter apart. A supply may be shared.
func (c *probeCheck) checkAnalog(taken map[string]position) {
	a := &c.Analog
	if !c.solid("i2c_device", "address", "input") {
		return
	}
	c.once(taken, "input", a.inputName(a.Input), "give every probe an input of its own")
	if !ratioKinds.has(c.Kind) || !c.solid("supply_input") {
		return
	}
	if a.SupplyInput == a.Input {
		c.wrongKey("supply_input", fmt.Sprintf("input %d is the probe's own", a.Input), "wire the supply to another input of the same converter")
		return
	}
	for _, other := range c.probes {
		if analogKinds.has(other.Kind) && other != c.ProbeWiring && other.Analog.inputName(other.Analog.Input) == a.inputName(a.SupplyInput) {
			c.wrongKey("supply_input", a.inputName(a.SupplyInput)+" is where the "+other.Place.Words()+" is measured", "wire the supply to an input of its own, and name it here")
		}
	}
}

// inputName says which input of which converter is meant.
func (a *AnalogWiring) inputName(input int) string {
	return fmt.Sprintf("input %d of the converter %#x on %s", input, a.Address, a.Device)
}

// The reference resistor of a converter is some 4 times its element (boards
// carry 400 to 430 Ω or 4000 to 4300 Ω; common practice, no source).
const leastReference, mostReference = 3, 6

// leadMostK is the most that a two-wire cable may add to a reading: beyond it
// the cable's own warmth matters more than the probe's class.
const leadMostK = 5

// platinumOhmPerOhmK is how a platinum element grows near 0 °C, 1/K. Source: IEC
// 60751, coefficient A.
const platinumOhmPerOhmK = 3.9083e-3

func (c *probeCheck) checkPlatinum() {
	p := &c.Platinum
	if c.solid("element", "reference") {
		if ratio := p.ReferenceOhm / p.ElementOhm; ratio < leastReference || ratio > mostReference {
			c.wrongKey("reference", fmt.Sprintf("a reference of %s does not go with a Pt%g", control.Ohm.Format(p.ReferenceOhm), p.ElementOhm),
				fmt.Sprintf("read it off the board: for a Pt%g it is some %s", p.ElementOhm, control.Ohm.Format(4*p.ElementOhm)))
		}
	}
	if c.solid("wires") {
		c.checkCable()
	}
}

// checkCable asks for the cable where it is in the reading, and only there.
func (c *probeCheck) checkCable() {
	for _, key := range []string{"cable_length", "cable_core"} {
		written := c.written(join(c.path, key))
		switch {
		case c.Platinum.Wires == 2 && !written:
			c.wrongKey(key, "this key is missing, and two wires add their own resistance to the reading", "write it under ["+c.name+"], such as "+probeKey(key).sample())
		case c.Platinum.Wires > 2 && written:
			c.wrongKey(key, fmt.Sprintf("with %d wires the cable is not in the reading", c.Platinum.Wires), "take the key out, or write wires = 2")
		}
	}
	if c.Platinum.Wires != 2 || !c.solid("cable_length", "cable_core", "element") {
		return
	}
	if offset := c.Platinum.LeadOhm() / c.Platinum.ElementOhm / platinumOhmPerOhmK; offset > leadMostK {
		c.wrongKey("cable_length", fmt.Sprintf("two wires of this cable shift the reading by %.1f K", offset),
			"use three wires, a thicker cable or a Pt1000")
	}
}

func probeKey(name string) *key { return (&table{keys: probeKeys}).key(name) }
