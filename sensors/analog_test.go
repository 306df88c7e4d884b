package sensors

import (
	"errors"
	"io/fs"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/i2c/i2ctest"

	"sunstoker/sensors/sensorstest"
)

func inputOf(chip *sensorstest.AnalogChip, input int) AnalogInput {
	return AnalogInput{Device: "/dev/i2c-1", Address: 0x48, Input: input, Open: chip.Open}
}

func chipThermistor(t *testing.T, chip *sensorstest.AnalogChip) *Thermistor {
	t.Helper()
	th, err := NewThermistor(ThermistorOptions{AnalogInput: inputOf(chip, 1), SupplyInput: 3, Ohm25: 10_000, BetaK: 3977, DividerOhm: 10_000})
	if err != nil {
		t.Fatal(err)
	}
	return th
}

// divided is the voltage of a thermistor of so many Ω below 10 kΩ at 3.3 V.
func divided(ohm float64) float64 { return 3.3 * ohm / (ohm + 10_000) }

// TestConverterCodes: the steps and codes of the datasheet, for the full scale
// that is used here.
func TestConverterCodes(t *testing.T) {
	for _, row := range rows(t, "testdata/ads1115_lsb.csv") {
		if row["full_scale_V"] == "6.144" {
			near(t, "step", analogStepV*1e6, number(t, row["lsb_microvolt"]), 1e-9)
		}
	}
	for _, row := range rows(t, "testdata/ads1115_codes.csv") {
		if row["full_scale_V"] != "6.144" {
			continue
		}
		code, err := strconv.ParseUint(row["ideal_code_hex"], 16, 16)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "code "+row["ideal_code_hex"], analogV(int16(code)), number(t, row["input_V"]), analogStepV/2)
	}
	code := -1
	near(t, "a negative code", analogV(int16(code)), -analogStepV, 0)
}

// TestThermistorTable: a maker's resistance table, through converter and divider.
func TestThermistorTable(t *testing.T) {
	for _, row := range rows(t, "testdata/ntc_10k_3977.csv") {
		tempC, ohm := number(t, row["temperature_degC"]), number(t, row["ohm_for_10k_at_25degC"])
		near(t, "curve at "+row["temperature_degC"], thermistorC(ohm/10_000, 3977), tempC, 0.02)
		chip := &sensorstest.AnalogChip{Volts: [4]float64{1: divided(ohm), 3: 3.3}}
		answer, err := chipThermistor(t, chip).Ask(t.Context(), &swiftClock{})
		if err != nil {
			t.Errorf("%s °C: %v", row["temperature_degC"], err)
		}
		near(t, "measured at "+row["temperature_degC"], answer.Value, tempC, 0.1)
		// The beta formula alone, which other thermistors are taken by: what its
		// comment says of its error.
		within := 1.7
		if tempC >= 0 && tempC <= 100 {
			within = 0.75
		}
		near(t, "beta formula at "+row["temperature_degC"], thermistorC(ohm/10_000, 3977.0001), tempC, within)
	}
	near(t, "beta formula at 25 °C", thermistorC(1, 3500), 25, 1e-9)
}

// A supply that sags must not be read as warmth.
func TestTheSupplyCancels(t *testing.T) {
	chip := &sensorstest.AnalogChip{}
	th := chipThermistor(t, chip)
	for _, supply := range []float64{2.8, 3.3, 3.6} {
		chip.Volts = [4]float64{1: divided(2487) * supply / 3.3, 3: supply}
		answer, err := th.Ask(t.Context(), &swiftClock{})
		if err != nil {
			t.Fatal(err)
		}
		near(t, "60 °C at a supply of "+strconv.FormatFloat(supply, 'g', 3, 64), answer.Value, 60, 0.05)
	}
}

func TestFaultsOfAnalogProbes(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*sensorstest.AnalogChip)
		want   FaultKind
		says   string
	}{
		"open":         {func(c *sensorstest.AnalogChip) { c.Volts[1] = 3.3 }, Broken, "100.0 %"},
		"nearly open":  {func(c *sensorstest.AnalogChip) { c.Volts[1] = 3.28 }, Broken, "open"},
		"shorted":      {func(c *sensorstest.AnalogChip) { c.Volts[1] = 0 }, Shorted, "0.0 %"},
		"below ground": {func(c *sensorstest.AnalogChip) { c.Volts[1] = -0.3 }, Shorted, "shorted"},
		"no supply":    {func(c *sensorstest.AnalogChip) { c.Volts[3] = 0 }, Unpowered, "0.00 V"},
		"settings":     {func(c *sensorstest.AnalogChip) { c.Forgets = true }, Unsettled, "8583"},
		"never ends":   {func(c *sensorstest.AnalogChip) { c.Slow = 50 }, Unsettled, "did not end"},
		"no answer":    {func(c *sensorstest.AnalogChip) { c.Address = 0x4A }, 0, "0x48"},
		"very cold":    {func(c *sensorstest.AnalogChip) { c.Volts[1] = divided(500_000) }, OutOfRange, "-40"},
	} {
		chip := &sensorstest.AnalogChip{Volts: [4]float64{1: divided(10_000), 3: 3.3}}
		th, clock := chipThermistor(t, chip), &swiftClock{}
		c.change(chip)
		_, err := th.Ask(t.Context(), clock)
		if err == nil || c.want != 0 && !errors.Is(err, c.want) || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
		*chip = sensorstest.AnalogChip{Volts: [4]float64{1: divided(10_000), 3: 3.3}}
		if answer, err := th.Ask(t.Context(), clock); err != nil || math.Abs(answer.Value-25) > 0.05 {
			t.Errorf("%s: whole again: %v, %v", name, answer, err)
		}
	}
}

// A slow conversion is waited for; a chip whose code stands still for an hour is
// not believed, whatever it says.
func TestSlowAndFrozenConverters(t *testing.T) {
	chip := &sensorstest.AnalogChip{Volts: [4]float64{1: divided(10_000), 3: 3.3}, Slow: 1}
	th, clock := chipThermistor(t, chip), &swiftClock{}
	if _, err := th.Ask(t.Context(), clock); err != nil {
		t.Fatal(err)
	}
	clock.now = frozenAfter - time.Second
	if _, err := th.Ask(t.Context(), clock); err != nil {
		t.Fatalf("just below the limit: %v", err)
	}
	clock.now += time.Second
	if _, err := th.Ask(t.Context(), clock); !errors.Is(err, Frozen) {
		t.Errorf("after an hour of the same codes: %v", err)
	}
	chip.Volts[1] = divided(9990)
	if _, err := th.Ask(t.Context(), clock); err != nil {
		t.Errorf("moving again: %v", err)
	}
}

func TestPressureSensor(t *testing.T) {
	chip := &sensorstest.AnalogChip{Volts: [4]float64{3: 5}}
	p, err := NewPressure(PressureOptions{AnalogInput: inputOf(chip, 0), SupplyInput: 3, SpanBar: 10})
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		volts, supply, bar float64
		want               FaultKind
	}{
		{0.5, 5, 0, 0}, {4.5, 5, 10, 0}, {2.5, 5, 5, 0}, {2.45, 4.9, 5, 0}, {0.45, 5, -0.125, 0},
		{0.3, 5, 0, Broken}, {0, 5, 0, Broken}, {4.8, 5, 0, Broken}, {5, 5, 0, Broken}, {1.65, 3.3, 0, Unpowered},
	} {
		chip.Volts[0], chip.Volts[3] = c.volts, c.supply
		answer, err := p.Ask(t.Context(), &swiftClock{})
		if c.want != 0 {
			if !errors.Is(err, c.want) {
				t.Errorf("%g V of %g V: %v", c.volts, c.supply, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%g V of %g V: %v", c.volts, c.supply, err)
		}
		near(t, "pressure", answer.Value, c.bar, 0.002)
	}
}

// TestClamp: a sine whose root mean square is its peak over √2, at both mains
// frequencies, sampled as the driver does.
func TestClamp(t *testing.T) {
	for _, hertz := range []float64{50, 60} {
		for _, rms := range []float64{0, 0.007, 0.29, 1} {
			clock := &swiftClock{}
			chip := &sensorstest.AnalogChip{Volts: [4]float64{2: 1.65}, Wave: func(int) float64 {
				return rms * math.Sqrt2 * math.Sin(2*math.Pi*hertz*clock.now.Seconds())
			}}
			c, err := NewClamp(ClampOptions{AnalogInput: inputOf(chip, 2), AmperePerVolt: 30})
			if err != nil {
				t.Fatal(err)
			}
			answer, err := c.Ask(t.Context(), clock)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "current", answer.Value, 30*rms, 0.005+0.02*30*rms)
			if clock.now > 385*time.Millisecond {
				t.Errorf("took %v", clock.now)
			}
		}
	}
}

func TestFaultsOfAClamp(t *testing.T) {
	for says, c := range map[string]struct {
		bias, swing float64
		want        FaultKind
	}{"bias network": {0, 0, Unpowered}, "half of a supply": {5, 0, Unpowered}, "cut off": {1.65, 1.9, OutOfRange}} {
		chip := &sensorstest.AnalogChip{Volts: [4]float64{c.bias}, Wave: func(n int) float64 { return max(c.swing*math.Sin(float64(n)), -c.bias) }}
		clamp, err := NewClamp(ClampOptions{AnalogInput: inputOf(chip, 0), AmperePerVolt: 30})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := clamp.Ask(t.Context(), &swiftClock{}); !errors.Is(err, c.want) || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", says, err)
		}
	}
}

// TestAnalogOnARecordedBus: every byte of one measurement.
func TestAnalogOnARecordedBus(t *testing.T) {
	at := func(w, r []byte) i2ctest.IO { return i2ctest.IO{Addr: 0x49, W: w, R: r} }
	bus := &i2ctest.Playback{DontPanic: true, Ops: []i2ctest.IO{
		at([]byte{1, 0xF1, 0x83}, nil), at([]byte{1}, []byte{0x71, 0x83}), at([]byte{1}, []byte{0xF1, 0x83}), at([]byte{0}, []byte{0x44, 0xC0}), at([]byte{0}, []byte{0x44, 0xC0}), // supply, input 3: 3.3 V
		at([]byte{1, 0xC1, 0x83}, nil), at([]byte{1}, []byte{0x41, 0x83}), at([]byte{1}, []byte{0x41, 0x83}), at([]byte{1}, []byte{0xC1, 0x83}), at([]byte{0}, []byte{0x22, 0x60}), at([]byte{0}, []byte{0x22, 0x60}), // half of it
	}}
	o := ThermistorOptions{SupplyInput: 3, Ohm25: 10_000, BetaK: 3977, DividerOhm: 10_000}
	o.AnalogInput = AnalogInput{Device: "/dev/i2c-1", Address: 0x49, Input: 0, Open: func(string) (i2c.BusCloser, error) { return bus, nil }}
	th, err := NewThermistor(o)
	if err != nil {
		t.Fatal(err)
	}
	answer, err := th.Ask(t.Context(), &swiftClock{})
	if err != nil || answer.Raw != "2260 of 44c0" {
		t.Errorf("%+v, %v", answer, err)
	}
	near(t, "equal resistors", answer.Value, 25, 0.01)
	if err := th.Close(); err != nil {
		t.Errorf("not every transfer was made: %v", err)
	}
}

func TestAnalogOptionsAreChecked(t *testing.T) {
	chip := &sensorstest.AnalogChip{}
	good := ThermistorOptions{AnalogInput: inputOf(chip, 1), SupplyInput: 3, Ohm25: 10_000, BetaK: 3977, DividerOhm: 10_000}
	for says, change := range map[string]func(*ThermistorOptions){
		"0x48 to 0x4b":     func(o *ThermistorOptions) { o.Address = 0x20 },
		"has 0 to 3":       func(o *ThermistorOptions) { o.Input = 4 },
		"input of its own": func(o *ThermistorOptions) { o.SupplyInput = 1 },
		"above 0":          func(o *ThermistorOptions) { o.DividerOhm = math.NaN() },
	} {
		o := good
		change(&o)
		if _, err := NewThermistor(o); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("want %q, got %v", says, err)
		}
	}
	if _, err := NewPressure(PressureOptions{AnalogInput: good.AnalogInput, SupplyInput: 3}); err == nil {
		t.Error("a pressure sensor without a span")
	}
	if _, err := NewClamp(ClampOptions{AnalogInput: good.AnalogInput, AmperePerVolt: -1}); err == nil {
		t.Error("a clamp without a ratio")
	}
	if _, err := OpenI2C("/dev/i2c-255"); !errors.Is(err, fs.ErrNotExist) {
		t.Errorf("a bus that is not there: %v", err)
	}
}

// FuzzAnalogBytes spoils what comes over the wire: there is a fault, or a value
// within the range.
func FuzzAnalogBytes(f *testing.F) {
	f.Add([]byte{0xF1, 0x83, 0x44, 0xC0, 0xD1, 0x83, 0x22, 0x60})
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, wire []byte) {
		chip := &sensorstest.AnalogChip{Volts: [4]float64{1: 1.65, 3: 3.3}, Wire: func(r []byte) { wire = wire[copy(r, wire):] }}
		answer, err := chipThermistor(t, chip).Ask(t.Context(), &swiftClock{})
		if err == nil && !(answer.Value >= thermistorLeastC && answer.Value <= thermistorMostC) {
			t.Errorf("%v °C", answer.Value)
		}
	})
}
