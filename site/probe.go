package site

import (
	"fmt"

	"sunstoker/control"
)

// The kinds of probe, as a site file writes them.
const (
	OneWire          = "one-wire"          // a probe of the kernel's 1-wire tree
	Platinum         = "platinum"          // a platinum element behind a resistance converter on SPI
	Thermistor       = "thermistor"        // an NTC at an analog converter on I2C
	Pressure         = "pressure"          // a sensor of 0.5 to 4.5 V at such a converter
	CurrentClamp     = "current clamp"     // a clamp at such a converter
	FlowMeter        = "flow meter"        // pulses at an input line
	ElectricityMeter = "electricity meter" // S0 pulses at an input line
	Button           = "button"            // a push button at an input line
	Modbus           = "modbus"            // a register of a Modbus module; of an output, a coil
	SimulatedProbe   = "simulated"         // its value comes from a simulated plant
)

// probeKind says what a kind of probe is and what it can tell.
type probeKind struct {
	name  string
	words string         // for the reference, behind the name
	units []control.Unit // of the places that it can be at; none: every place
}

var probeKinds = []probeKind{
	{OneWire, "a DS18B20 on the kernel's 1-wire bus", []control.Unit{control.Celsius}},
	{Platinum, "a Pt100 or Pt1000 behind a MAX31865 on the SPI bus", []control.Unit{control.Celsius}},
	{Thermistor, "an NTC at an ADS1115 analog converter on the I2C bus", []control.Unit{control.Celsius}},
	{Pressure, "a pressure sensor of 0.5 to 4.5 V at an ADS1115", []control.Unit{control.Bar}},
	{CurrentClamp, "a clamp around a wire at an ADS1115", []control.Unit{control.Ampere}},
	{FlowMeter, "a flow meter that gives pulses to a GPIO line", []control.Unit{control.LitrePerMin}},
	{ElectricityMeter, "an electricity meter with S0 pulses at a GPIO line", []control.Unit{control.Ampere}},
	{Button, "a push button at a GPIO line", []control.Unit{control.Plain}},
	{Modbus, "a register of a Modbus module, over TCP or a serial line", []control.Unit{control.Celsius, control.LitrePerMin, control.Bar, control.Ampere}},
	{SimulatedProbe, "a simulated plant", nil},
}

// ProbeWiring says where a probe's value comes from.
type ProbeWiring struct {
	control.Probe
	Kind     string
	FileLine int    // where it stands in the site file
	Identity string // of a one-wire probe
	Platinum PlatinumWiring
	Felt     Felt
	Analog   AnalogWiring
	Contact  ContactWiring
	Register RegisterWiring
}

// RegisterWiring is where a Modbus module keeps a probe's figure.
type RegisterWiring struct {
	Connection Connection
	Unit       uint8
	Number     uint16
	Holding    bool   // a holding register; else an input register
	Format     string // SignedFigure, UnsignedFigure or FloatFigure
	Scale      float64
	Offset     float64
}

// ContactWiring is how a contact to ground is connected to an input line.
type ContactWiring struct {
	Chip           string
	Line           string // its label, or its number on the chip
	SettleS        float64
	LitresPerPulse float64 // of a flow meter
	PulsesPerKWh   float64 // of an electricity meter
	MainsV         float64 // of an electricity meter
}

// AnalogWiring is how a probe at an analog converter is connected.
type AnalogWiring struct {
	Device        string // of the kernel: the I2C bus
	Address       uint16 // of the converter
	Input         int
	SupplyInput   int     // of a thermistor or pressure sensor
	Ohm25         float64 // of a thermistor
	BetaK         float64 // of a thermistor
	DividerOhm    float64 // of a thermistor
	SpanBar       float64 // of a pressure sensor
	AmperePerVolt float64 // of a current clamp
}

// PlatinumWiring is how a platinum probe is connected.
type PlatinumWiring struct {
	Device       string // of the kernel: bus and chip select
	ElementOhm   float64
	ReferenceOhm float64
	Wires        int
	CableM       float64 // one way
	CoreMM2      float64 // cross-section of one core
	SixtyHertz   bool
}

// copperOhmMM2M is the resistivity of copper at 20 °C, Ω mm²/m (IEC 60228's
// conductors have a little more; from memory).
const copperOhmMM2M = 0.0178

// LeadOhm is the resistance in Ω of a two-wire cable, there and back, at 20 °C; 0
// with more wires.
func (p *PlatinumWiring) LeadOhm() float64 {
	if p.Wires != 2 || p.CoreMM2 == 0 {
		return 0
	}
	return 2 * p.CableM * copperOhmMM2M / p.CoreMM2
}

// Where says where a probe hangs, in words.
func (w *ProbeWiring) Where() string {
	switch w.Kind {
	case OneWire:
		return "1-wire " + w.Identity
	case Platinum:
		return "SPI " + w.Platinum.Device
	case Thermistor, Pressure, CurrentClamp:
		return fmt.Sprintf("I2C %s, %#x, input %d", w.Analog.Device, w.Analog.Address, w.Analog.Input)
	case FlowMeter, ElectricityMeter, Button:
		return "line " + w.Contact.Line + " of " + w.Contact.Chip
	case Modbus:
		return fmt.Sprintf("Modbus %s, unit %d, register %d", w.Register.Connection.Place(), w.Register.Unit, w.Register.Number)
	}
	return w.Kind
}
