package sensors

import (
	"context"
	"errors"
	"fmt"
	"math"
)

// RegisterFormat says how a register, or two, hold a figure.
type RegisterFormat uint8

// The formats.
const (
	Signed16   RegisterFormat = iota // one register
	Unsigned16                       // one register
	Float32                          // two registers, IEEE 754, high word first
)

// RegisterReader reads registers of a unit on a line; fieldbus.Line is one.
type RegisterReader interface {
	ReadRegisters(unit uint8, holding bool, first, count uint16) ([]uint16, error)
}

// RegisterOptions describe a measured value in the registers of a module. The
// value is register × Scale + Offset, in the unit of the place.
type RegisterOptions struct {
	Reader   RegisterReader
	Line     string // for people
	Unit     uint8
	Holding  bool   // a holding register; else an input register
	Register uint16 // from 0, as on the wire
	Format   RegisterFormat
	Scale    float64
	Offset   float64
}

// Register reads a figure that a module has measured.
//
//	Range   that of the module
//	Error   that of the module; this adds nothing but Scale's own rounding
//	Time    one request: some 10 ms over TCP, 30 ms at 9600 bit/s
//
// The ends of a 16-bit register are refused: modules say so that a probe is open,
// shorted or not fitted (common practice, no source). A module that hands out an
// old value as new cannot be found out here.
type Register struct{ options RegisterOptions }

// NewRegister checks the options; nothing is asked before the first Ask.
func NewRegister(o RegisterOptions) (*Register, error) {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	switch {
	case o.Reader == nil:
		return nil, errors.New("a register needs a line to be read on")
	case !finite(o.Scale) || !finite(o.Offset) || o.Scale == 0:
		return nil, fmt.Errorf("register %d of unit %d on %s: a scale of %g with an offset of %g gives no figures", o.Register, o.Unit, o.Line, o.Scale, o.Offset)
	case o.Format > Float32:
		return nil, fmt.Errorf("register %d of unit %d on %s: unknown format %d", o.Register, o.Unit, o.Line, o.Format)
	}
	return &Register{o}, nil
}

// Name implements [Driver].
func (r *Register) Name() string {
	return fmt.Sprintf("register %d of unit %d on %s", r.options.Register, r.options.Unit, r.options.Line)
}

// Ask implements [Driver].
func (r *Register) Ask(context.Context, Clock) (Answer, error) {
	o := &r.options
	count := uint16(1)
	if o.Format == Float32 {
		count = 2
	}
	words, err := o.Reader.ReadRegisters(o.Unit, o.Holding, o.Register, count)
	if err != nil {
		return Answer{}, err
	}
	if len(words) != int(count) {
		return Answer{}, faultf(Malformed, "%s came as %d registers for %d", r.Name(), len(words), count)
	}
	answer := Answer{Raw: fmt.Sprintf("%04x", words)}
	figure, fault := o.Format.figure(words)
	if fault != nil {
		return answer, fault
	}
	answer.Value = figure*o.Scale + o.Offset
	return answer, nil
}

// figure reads the words, of which there are as many as the format has.
func (f RegisterFormat) figure(words []uint16) (float64, *Fault) {
	word := words[0]
	switch {
	case f == Float32:
		v := float64(math.Float32frombits(uint32(word)<<16 | uint32(words[1])))
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return 0, faultf(Broken, "the module gives no number (%04x): its probe is open or not fitted, or the registers are other ones", words)
		}
		return v, nil
	case f == Signed16 && (word == 0x7FFF || word == 0x8000), f == Unsigned16 && word == 0xFFFF:
		return 0, faultf(Broken, "the module gives the end of its range (%04x): its probe is open, shorted or not fitted", word)
	case f == Unsigned16:
		return float64(word), nil
	}
	return float64(int16(word)), nil
}
