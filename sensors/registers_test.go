package sensors

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// registerTable answers with the words of a test, whatever is asked.
type registerTable struct {
	words []uint16
	err   error
	asked [4]uint16 // unit, holding, first, count
}

func (r *registerTable) ReadRegisters(unit uint8, holding bool, first, count uint16) ([]uint16, error) {
	r.asked = [4]uint16{uint16(unit), 0, first, count}
	if holding {
		r.asked[1] = 1
	}
	return r.words, r.err
}

func TestRegistersAsFigures(t *testing.T) {
	for _, c := range []struct {
		format RegisterFormat
		words  []uint16
		scale  float64
		offset float64
		want   float64
		fault  FaultKind
	}{
		{Signed16, []uint16{235}, 0.1, 0, 23.5, 0},
		{Signed16, []uint16{0xFFF6}, 0.1, 0, -1, 0}, // -10, two's complement
		{Signed16, []uint16{7315}, 0.05, -273.15, 92.6, 0},
		{Signed16, []uint16{0x7FFF}, 0.1, 0, 0, Broken},
		{Signed16, []uint16{0x8000}, 0.1, 0, 0, Broken},
		{Unsigned16, []uint16{0x8000}, 0.001, 0, 32.768, 0},
		{Unsigned16, []uint16{0xFFFF}, 0.001, 0, 0, Broken},
		{Float32, []uint16{0x41BC, 0x0000}, 1, 0, 23.5, 0}, // IEEE 754: 23.5 = 41BC0000h
		{Float32, []uint16{0x7FC0, 0x0000}, 1, 0, 0, Broken},
		{Float32, []uint16{0x7F80, 0x0000}, 1, 0, 0, Broken},
		{Float32, []uint16{0x41BC}, 1, 0, 0, Malformed},
		{Signed16, nil, 1, 0, 0, Malformed},
		{Signed16, []uint16{1, 2}, 1, 0, 0, Malformed},
	} {
		table := &registerTable{words: c.words}
		r, err := NewRegister(RegisterOptions{Reader: table, Line: "192.168.1.20:502", Unit: 3, Holding: true, Register: 7, Format: c.format, Scale: c.scale, Offset: c.offset})
		if err != nil {
			t.Fatal(err)
		}
		answer, err := r.Ask(t.Context(), &swiftClock{})
		count := uint16(1)
		if c.format == Float32 {
			count = 2
		}
		if table.asked != [4]uint16{3, 1, 7, count} {
			t.Errorf("asked for %v", table.asked)
		}
		if c.fault != 0 {
			if !errors.Is(err, c.fault) {
				t.Errorf("%04x: %v, %v", c.words, answer, err)
			}
			continue
		}
		if err != nil {
			t.Errorf("%04x: %v", c.words, err)
		}
		near(t, "figure", answer.Value, c.want, 1e-9)
	}
}

func TestRegisterErrorsAndOptions(t *testing.T) {
	table := &registerTable{err: errors.New("no answer in time")}
	r, err := NewRegister(RegisterOptions{Reader: table, Line: "/dev/ttyUSB0", Unit: 3, Scale: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.Ask(t.Context(), &swiftClock{}); err == nil || !strings.Contains(askFault(r.Name(), err).Error(), "/dev/ttyUSB0") {
		t.Errorf("%v", err)
	}
	for _, o := range []RegisterOptions{{Scale: 1}, {Reader: table}, {Reader: table, Scale: math.NaN()}, {Reader: table, Scale: 1, Offset: math.Inf(1)}, {Reader: table, Scale: 1, Format: 9}} {
		if _, err := NewRegister(o); err == nil {
			t.Errorf("%+v is taken", o)
		}
	}
}

// FuzzRegisterWords: whatever a module sends is a fault or a finite figure.
func FuzzRegisterWords(f *testing.F) {
	f.Add(uint8(0), uint16(0x7FFF), uint16(0))
	f.Add(uint8(2), uint16(0x7F80), uint16(1))
	f.Fuzz(func(t *testing.T, format uint8, high, low uint16) {
		figure, fault := RegisterFormat(format % 3).figure([]uint16{high, low})
		if fault == nil && (math.IsNaN(figure) || math.IsInf(figure, 0)) {
			t.Errorf("%04x %04x gives %v", high, low, figure)
		}
	})
}
