package site

import (
	"testing"

	"sunstoker/control"
)

const everyKindFile = "testdata/good/every-kind.toml"

// TestEveryKindIsRead: a file with each kind of probe and output has no mistake,
// and what it says arrives where the station looks for it.
func TestEveryKindIsRead(t *testing.T) {
	s, err := Load(everyKindFile)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := control.New(s.Plan); err != nil {
		t.Errorf("the controller refuses the plan: %v", err)
	}
	probes, outputs := map[string]*ProbeWiring{}, map[string]*OutputWiring{}
	for i := range s.Probes {
		probes[s.Probes[i].Kind] = &s.Probes[i]
	}
	for i := range s.Outputs {
		outputs[s.Outputs[i].Kind] = &s.Outputs[i]
	}
	for _, k := range probeKinds {
		if probes[k.name] == nil && k.name != SimulatedProbe {
			t.Fatalf("%s has no probe of kind %q", everyKindFile, k.name)
		}
	}
	for _, kind := range pumpKeys[0].choices {
		if outputs[kind] == nil && kind != SimulatedOutput {
			t.Fatalf("%s has no output of kind %q", everyKindFile, kind)
		}
	}
	for what, pair := range map[string][2]any{
		"platinum":          {probes[Platinum].Platinum, PlatinumWiring{Device: "/dev/spidev0.0", ElementOhm: 1000, ReferenceOhm: 4300, Wires: 2, CableM: 15, CoreMM2: 0.75, SixtyHertz: true}},
		"thermistor":        {probes[Thermistor].Analog, AnalogWiring{Device: "/dev/i2c-1", Address: 0x49, SupplyInput: 3, Ohm25: 10_000, BetaK: 3977, DividerOhm: 4700}},
		"pressure":          {probes[Pressure].Analog, AnalogWiring{Device: "/dev/i2c-1", Address: 0x48, SupplyInput: 1, SpanBar: 6}},
		"current clamp":     {probes[CurrentClamp].Analog, AnalogWiring{Device: "/dev/i2c-1", Address: 0x48, Input: 2, AmperePerVolt: 5}},
		"flow meter":        {probes[FlowMeter].Contact, ContactWiring{Chip: "gpiochip0", Line: "GPIO22", SettleS: 0.001, LitresPerPulse: 0.0025, MainsV: 230}},
		"electricity meter": {probes[ElectricityMeter].Contact, ContactWiring{Chip: "gpiochip0", Line: "GPIO23", SettleS: 0.01, PulsesPerKWh: 1000, MainsV: 230}},
		"register": {probes[Modbus].Register, RegisterWiring{
			Connection: Connection{Text: "/dev/ttyUSB0 9600 even", Device: "/dev/ttyUSB0", Speed: 9600, Parity: "even"},
			Unit:       3, Holding: true, Format: SignedFigure, Scale: 0.1,
		}},
		"coil": {outputs[Modbus].Coil, CoilWiring{Connection: Connection{Text: "192.168.1.20:502", TCP: "192.168.1.20:502"}, Unit: 1, Number: 4}},
		"pwm":  {outputs[SpeedSignal].PWM, PWMWiring{Folder: "/sys/class/pwm/pwmchip0", Hertz: 1000, Stop: 0, Slowest: 0.15, Full: 0.9}},
	} {
		if pair[0] != pair[1] {
			t.Errorf("%s: got %+v, want %+v", what, pair[0], pair[1])
		}
	}
	if pulses := outputs[Relay].PulseHertz; pulses != 10 {
		t.Errorf("%v pulses a second", pulses)
	}
	if least := outputs[SpeedSignal].LeastLevel; least != 0.3 {
		t.Errorf("least speed %v", least)
	}
	// 2 × 15 m × 0.0178 Ω mm²/m / 0.75 mm².
	if ohm := probes[Platinum].Platinum.LeadOhm(); ohm < 0.7119 || ohm > 0.7121 {
		t.Errorf("the cable has %v Ω", ohm)
	}
}
