package sensors

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"testing"

	"periph.io/x/conn/v3/conntest"
	"periph.io/x/conn/v3/spi"
	"periph.io/x/conn/v3/spi/spitest"

	"sunstoker/sensors/sensorstest"
)

// TestPlatinumCurve: IEC 60751:2008, table and formula, both ways.
func TestPlatinumCurve(t *testing.T) {
	for _, row := range rows(t, "testdata/pt100_iec60751.csv") {
		tempC := number(t, row["temperature_degC"])
		near(t, "table at "+row["temperature_degC"], PlatinumOhm(tempC, 100), number(t, row["pt100_ohm_table"]), 0.0055)
		near(t, "formula at "+row["temperature_degC"], PlatinumOhm(tempC, 100), number(t, row["pt100_ohm_formula"]), 1e-5)
		near(t, "Pt1000 at "+row["temperature_degC"], PlatinumOhm(tempC, 1000), number(t, row["pt1000_ohm_formula"]), 1e-4)
	}
	for tempC := platinumLowestC; tempC <= platinumHighestC; tempC += 0.7 {
		back, err := PlatinumC(PlatinumOhm(tempC, 1000), 1000)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "there and back", back, tempC, 1e-6)
	}
	for _, ohm := range []float64{math.NaN(), math.Inf(1), -1, 0, 18, 391} {
		if c, err := PlatinumC(ohm, 100); err == nil || !math.IsNaN(c) {
			t.Errorf("%v Ω is taken as %v °C", ohm, c)
		}
	}
	if !math.IsNaN(PlatinumOhm(851, 100)) || !math.IsNaN(PlatinumOhm(math.NaN(), 100)) {
		t.Error("a resistance out of the curve's range")
	}
}

func pt100(t *testing.T, change func(*PlatinumOptions)) *Platinum {
	t.Helper()
	o := PlatinumOptions{Device: "/dev/spidev0.0", NominalOhm: 100, ReferenceOhm: 400, Wires: 3}
	if change != nil {
		change(&o)
	}
	p, err := NewPlatinum(o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// TestRegistersOfTheDatasheet: MAX31865 datasheet, table 9, a Pt100 with a
// reference of 400 Ω. A step of the converter is 0.03 K there; the codes of the
// table are within one step of the curve.
func TestRegistersOfTheDatasheet(t *testing.T) {
	p := pt100(t, nil)
	for _, row := range rows(t, "testdata/max31865_pt100.csv") {
		code, err := strconv.ParseUint(row["register_hex_with_fault_bit_0"], 16, 16)
		if err != nil {
			t.Fatal(err)
		}
		chip := chipMemory{configuration: p.base | configBias, high: p.high, low: p.low, resistance: uint16(code)}
		answer, err := p.judge(chip, 0)
		if err != nil {
			t.Errorf("%s °C: %v", row["temperature_degC"], err)
		}
		near(t, "register "+row["register_hex_with_fault_bit_0"], answer.Value, number(t, row["temperature_degC"]), 0.05)
		near(t, "resistance", p.ohm(uint16(code)), number(t, row["rtd_ohm"]), 0.0125)
		near(t, "code", float64(p.register(number(t, row["rtd_ohm"]))>>1), number(t, row["adc_code_15bit"]), 1)
	}
}

func chipProbe(t *testing.T, change func(*PlatinumOptions)) (*Platinum, *sensorstest.PlatinumChip) {
	chip := &sensorstest.PlatinumChip{Code: 8830} // 20 °C
	p := pt100(t, func(o *PlatinumOptions) {
		o.Open = chip.Open
		if change != nil {
			change(o)
		}
	})
	return p, chip
}

func TestPlatinumMeasures(t *testing.T) {
	p, chip := chipProbe(t, nil)
	clock := &swiftClock{}
	for range 4 {
		answer, err := p.Ask(t.Context(), clock)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "temperature", answer.Value, 20, 0.05)
		if chip.Memory[0]&configBias != 0 {
			t.Error("the bias stays on between measurements")
		}
	}
	if chip.Cycles != 1 {
		t.Errorf("%d detection cycles in a moment, want the one at the start", chip.Cycles)
	}
	clock.now += platinumRecheck
	_, _ = p.Ask(t.Context(), clock)
	if chip.Cycles != 2 || chip.Opened != 1 {
		t.Errorf("%d detection cycles, opened %d times", chip.Cycles, chip.Opened)
	}
}

func TestEveryFaultBitInWords(t *testing.T) {
	for _, c := range []struct {
		bit  byte
		kind FaultKind
		says string
	}{
		{0x80, Broken, "above that of 300 °C"},
		{0x40, Shorted, "below that of -60 °C"},
		{0x20, Broken, "reference input is too high"},
		{0x10, Broken, "reference input is too low"},
		{0x08, Broken, "element's input is too low"},
		{0x04, Overvoltage, "mains"},
	} {
		p, chip := chipProbe(t, nil)
		chip.Trips = c.bit
		answer, err := p.Ask(t.Context(), &swiftClock{})
		if !errors.Is(err, c.kind) || !strings.Contains(err.Error(), c.says) || !math.IsNaN(answer.Value) || answer.Raw == "" {
			t.Errorf("bit %02x: %v, raw %q", c.bit, err, answer.Raw)
		}
	}
	if fault := explainFaults(0xFC, 3); fault.Kind != Overvoltage || strings.Count(fault.Detail, "; also ") != 5 || !strings.Contains(fault.Detail, "3 times") {
		t.Errorf("all bits: %v", fault)
	}
}

// A fault that came and went is told once, and is cleared and tested again.
func TestAFaultIsToldClearedAndTestedAgain(t *testing.T) {
	p, chip := chipProbe(t, nil)
	clock := &swiftClock{}
	chip.Flaky = 0x08
	if _, err := p.Ask(t.Context(), clock); !errors.Is(err, Broken) {
		t.Fatal(err)
	}
	if _, err := p.Ask(t.Context(), clock); err != nil || chip.Cycles != 2 {
		t.Errorf("after it was cleared: %v, %d cycles", err, chip.Cycles)
	}
}

func TestOpenAndShortedElements(t *testing.T) {
	for code, want := range map[uint16]FaultKind{0: Shorted, 30: Shorted, 1<<15 - 1: Broken, 17500: Broken} {
		p, chip := chipProbe(t, nil)
		chip.Code = code
		if _, err := p.Ask(t.Context(), &swiftClock{}); !errors.Is(err, want) {
			t.Errorf("code %d: %v", code, err)
		}
	}
}

func TestAChipThatIsNotThere(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*sensorstest.PlatinumChip)
		want   FaultKind
	}{
		"zeros":         {func(c *sensorstest.PlatinumChip) { c.Wire = make([]byte, 8) }, Absent},
		"ones":          {func(c *sensorstest.PlatinumChip) { c.Wire = []byte{255, 255, 255, 255, 255, 255, 255, 255} }, Absent},
		"lost settings": {func(c *sensorstest.PlatinumChip) { c.Forgets = true }, Unsettled},
		"hangs":         {func(c *sensorstest.PlatinumChip) { c.Hangs = true }, Unsettled},
		"noise":         {func(c *sensorstest.PlatinumChip) { c.Wire = []byte{0x91, 1, 2, 3, 4, 5, 6, 7} }, Unsettled},
	} {
		p, chip := chipProbe(t, nil)
		c.change(chip)
		clock := &swiftClock{}
		for range 3 {
			if _, err := p.Ask(t.Context(), clock); !errors.Is(err, c.want) {
				t.Errorf("%s: %v", name, err)
			}
		}
		if chip.Opened != 3 {
			t.Errorf("%s: opened %d times in 3 tries", name, chip.Opened)
		}
		chip.Wire, chip.Forgets, chip.Hangs = nil, false, false
		if _, err := p.Ask(t.Context(), clock); err != nil {
			t.Errorf("%s: back again: %v", name, err)
		}
	}
}

func TestTwoWiresTakeTheCableOut(t *testing.T) {
	p, chip := chipProbe(t, func(o *PlatinumOptions) { o.Wires, o.LeadOhm = 2, 1.5 })
	chip.Code = p.register(PlatinumOhm(60, 100)+1.5) >> 1
	answer, err := p.Ask(t.Context(), &swiftClock{})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "behind 1.5 Ω of cable", answer.Value, 60, 0.05)
	// 1 Ω is 0.26 K on a Pt1000, 2.6 K on a Pt100: slope 3.85 and 0.385 Ω/K near
	// 0 °C, IEC 60751.
	near(t, "1 Ω on a Pt1000", LeadOffsetK(1, 1000), 0.26, 0.005)
	near(t, "1 Ω on a Pt100", LeadOffsetK(1, 100), 2.6, 0.05)
}

// TestPlatinumConfiguration: the bits of wires and mains, on a recorded bus.
func TestPlatinumConfiguration(t *testing.T) {
	for _, c := range []struct {
		wires int
		sixty bool
		base  byte
	}{{2, false, 0x01}, {3, false, 0x11}, {4, false, 0x01}, {3, true, 0x10}, {4, true, 0x00}} {
		p := pt100(t, func(o *PlatinumOptions) { o.Wires, o.SixtyHertz = c.wires, c.sixty })
		high, low := []byte{byte(p.high >> 8), byte(p.high)}, []byte{byte(p.low >> 8), byte(p.low)}
		memory := append([]byte{0, c.base | 0x80, 0x44, 0xFC, high[0], high[1], low[0], low[1]}, 0)
		read := conntest.IO{W: make([]byte, 9), R: memory}
		recorded := &spitest.Playback{Playback: conntest.Playback{DontPanic: true, Ops: []conntest.IO{
			{W: []byte{0x83, high[0], high[1], low[0], low[1]}},
			{W: []byte{0x80, c.base | 0x80}},
			{W: []byte{0x80, c.base | 0x84}},
			read,
			{W: []byte{0x80, c.base | 0xA0}},
			read,
			read,
			{W: []byte{0x80, c.base}},
		}}}
		p.port.open = func() (spi.PortCloser, error) { return recorded, nil }
		answer, err := p.Ask(t.Context(), &swiftClock{})
		if err != nil {
			t.Errorf("%+v: %v", c, err)
		}
		near(t, "recorded temperature", answer.Value, 20, 0.05)
		if err := p.Close(); err != nil {
			t.Errorf("%+v: not every transfer was made: %v", c, err)
		}
	}
}

func TestImplausiblePlatinumOptions(t *testing.T) {
	for says, change := range map[string]func(*PlatinumOptions){
		"Pt1000":             func(o *PlatinumOptions) { o.NominalOhm = 500 },
		"reference resistor": func(o *PlatinumOptions) { o.ReferenceOhm = 4300 },
		"2, 3 or 4":          func(o *PlatinumOptions) { o.Wires = 1 },
		"by themselves":      func(o *PlatinumOptions) { o.LeadOhm = 0.5 },
		"shifts the reading": func(o *PlatinumOptions) { o.Wires, o.LeadOhm = 2, 2.1 },
		"cannot have":        func(o *PlatinumOptions) { o.Wires, o.LeadOhm = 2, math.NaN() },
	} {
		o := PlatinumOptions{Device: "/dev/spidev0.0", NominalOhm: 100, ReferenceOhm: 430, Wires: 3}
		change(&o)
		if _, err := NewPlatinum(o); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("want %q, got %v", says, err)
		}
	}
}

func TestDeviceNames(t *testing.T) {
	if bus, chip, err := SPINumbers("/dev/spidev1.2"); bus != 1 || chip != 2 || err != nil {
		t.Error(bus, chip, err)
	}
	for _, wrong := range []string{"", "/dev/spidev", "/dev/spidev0", "/dev/spidev0.", "/dev/spidev00.1", "/dev/spidev0.1/", "/dev/spidev-1.0", "spidev0.0", "/dev/spidev0.999"} {
		if _, _, err := SPINumbers(wrong); err == nil {
			t.Errorf("%q is taken", wrong)
		}
	}
	if bus, err := I2CNumber("/dev/i2c-1"); bus != 1 || err != nil {
		t.Error(bus, err)
	}
	for _, wrong := range []string{"", "/dev/i2c-", "/dev/i2c-01", "/dev/i2c-1.0", "1"} {
		if _, err := I2CNumber(wrong); err == nil {
			t.Errorf("%q is taken", wrong)
		}
	}
	if _, err := OpenSPI("/dev/spidev255.255"); err == nil {
		t.Error("a device that is not there was opened")
	}
}

// FuzzPlatinumBytes: whatever comes over the wire, there is a fault or a value
// that the chip's own settings vouch for.
func FuzzPlatinumBytes(f *testing.F) {
	f.Add([]byte{0x91, 0x44, 0xFC, 0x87, 0xB6, 0x30, 0x9C, 0})
	f.Add(make([]byte, 8))
	f.Fuzz(func(t *testing.T, wire []byte) {
		if len(wire) != 8 {
			return
		}
		p, chip := chipProbe(t, nil)
		chip.Wire = wire
		answer, err := p.Ask(t.Context(), &swiftClock{})
		if err != nil {
			return
		}
		held := parseChip([8]byte(wire))
		if held.resistance&1 != 0 || held.faults&faultMask != 0 || held.high != p.high || held.low != p.low {
			t.Errorf("%x is taken as %v °C", wire, answer.Value)
		}
		if !(answer.Value >= platinumLeastC && answer.Value <= platinumMostC) {
			t.Errorf("%x gives %v °C", wire, answer.Value)
		}
	})
}
