package sensors

import (
	"context"
	"encoding/binary"
	"fmt"
	"time"

	"periph.io/x/conn/v3/i2c"
)

// AnalogInput is one input of an ADS1115 analog converter on the I2C bus.
type AnalogInput struct {
	Device  string // the kernel's name of the bus: /dev/i2c-1
	Address uint16 // 0x48 to 0x4b, by where the chip's address pin is tied
	Input   int    // 0 to 3, against ground
	// Open opens the bus; [OpenI2C] when nil.
	Open func(device string) (i2c.BusCloser, error)
}

func (a *AnalogInput) check() error {
	switch {
	case a.Address < 0x48 || a.Address > 0x4B:
		return fmt.Errorf("the address %#x is none of an ADS1115: 0x48 to 0x4b", a.Address)
	case a.Input < 0 || a.Input > 3:
		return fmt.Errorf("input %d is not there: an ADS1115 has 0 to 3", a.Input)
	}
	return nil
}

func (a *AnalogInput) String() string {
	return fmt.Sprintf("input %d of the converter %#x on %s", a.Input, a.Address, a.Device)
}

// Registers and bits of the ADS1115: its datasheet, register map (from memory;
// codes and steps are in testdata/ads1115_codes.csv and ads1115_lsb.csv as read).
const (
	analogConversion    = 0x00
	analogConfiguration = 0x01

	analogStart      = 0x8000 // written: begin; read: not converting
	analogFirstInput = 0x4000 // input 0 against ground; the others follow in steps
	analogInputStep  = 0x1000
	analogSingle     = 0x0100 // one conversion, then sleep
	analogQuiet      = 0x0003 // comparator off
	analogCalm       = 0x0080 // 128 samples a second
	analogSwift      = 0x00E0 // 860 samples a second

	// The full scale is ±6.144 V, whose bits are zero: no supply that the chip
	// bears reaches the end of it, so a code at the end is always a fault.
	analogStepV = 187.5e-6

	// Longest conversions: the chip's clock may be 10 % slow (datasheet, from
	// memory), and it takes 25 µs to wake up.
	analogCalmTime  = 9 * time.Millisecond
	analogSwiftTime = 1350 * time.Microsecond
	analogRetries   = 3
)

// analog reads one converter.
type analog struct {
	input AnalogInput
	bus   device[i2c.BusCloser]
}

func newAnalog(in AnalogInput) (*analog, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	if in.Open == nil {
		in.Open = OpenI2C
	}
	a := &analog{input: in}
	a.bus.open = func() (i2c.BusCloser, error) { return in.Open(in.Device) }
	return a, nil
}

// Close lets go of the bus.
func (a *analog) Close() error { return a.bus.drop() }

// convert gives the code of an input after one conversion that
// was seen to be this one's: the chip must show our configuration again, and
// that it has finished. A chip that was unplugged and plugged in, or that
// another program uses, is found out so.
func (a *analog) convert(ctx context.Context, clock Clock, input int, rate uint16) (code int16, err error) {
	bus, err := a.bus.get()
	if err != nil {
		return 0, err
	}
	defer func() {
		if err != nil {
			_ = a.bus.drop() // opened anew at the next try; the error at hand counts
		}
	}()
	span := analogCalmTime
	if rate == analogSwift {
		span = analogSwiftTime
	}
	wanted := analogStart | analogFirstInput + uint16(input)*analogInputStep | analogSingle | rate | analogQuiet
	order := binary.BigEndian.AppendUint16([]byte{analogConfiguration}, wanted)
	if err := a.begin(bus, order, wanted, rate); err != nil {
		return 0, err
	}
	for range analogRetries {
		if err := waitFor(ctx, clock, span); err != nil {
			return 0, err
		}
		shown, err := a.register(bus, analogConfiguration)
		switch {
		case err != nil:
			return 0, err
		case shown == wanted:
			return a.steady(bus)
		case shown != wanted&^analogStart:
			return 0, faultf(Unsettled, "%s does not hold its settings (%04x for %04x); check its supply, and that no other program or kernel driver uses it", a.input.String(), shown, wanted)
		}
	}
	return 0, faultf(Unsettled, "%s did not end its conversion", a.input.String())
}

// begin starts a conversion and sees that it has begun: an order whose start was
// lost on the bus would leave the value of the conversion before, maybe of another
// input. A swift one may be over before it can be seen; who asks for those throws
// the first away.
func (a *analog) begin(bus i2c.Bus, order []byte, wanted, rate uint16) error {
	for range analogRetries {
		if err := bus.Tx(a.input.Address, order, nil); err != nil || rate == analogSwift {
			return err
		}
		shown, err := a.register(bus, analogConfiguration)
		if err != nil || shown != wanted {
			return err // it has begun, or what it shows is judged when it has ended
		}
	}
	return faultf(Unsettled, "%s does not begin a conversion; look for noise on the bus, and that no other program uses it", a.input.String())
}

// steady reads the conversion twice: the bus has no checksum, and noise on it
// does not strike twice alike.
func (a *analog) steady(bus i2c.Bus) (code int16, err error) {
	first, err := a.register(bus, analogConversion)
	if err != nil {
		return 0, err
	}
	second, err := a.register(bus, analogConversion)
	if err == nil && first != second {
		err = faultf(Unsettled, "%s gives one conversion as %04x and as %04x; look for noise on the bus: long wires, missing pull-up resistors, mains cables beside it", a.input.String(), first, second)
	}
	return int16(second), err
}

func (a *analog) register(bus i2c.Bus, number byte) (uint16, error) {
	var b [2]byte
	err := bus.Tx(a.input.Address, []byte{number}, b[:])
	return binary.BigEndian.Uint16(b[:]), err
}

// analogV is the voltage of a code.
func analogV(code int16) float64 { return float64(code) * analogStepV }

// ratiometric measures an input as a share of its supply, which hangs on another
// input of the same converter: the supply's own error and the converter's both
// cancel.
type ratiometric struct {
	*analog
	supplyInput             int
	leastSupply, mostSupply float64 // V
	still                   stillness
}

func newRatiometric(in AnalogInput, supplyInput int, leastSupply, mostSupply float64) (*ratiometric, error) {
	a, err := newAnalog(in)
	switch {
	case err != nil:
		return nil, err
	case supplyInput < 0 || supplyInput > 3 || supplyInput == in.Input:
		return nil, fmt.Errorf("the supply is measured at input %d: it needs an input of its own, 0 to 3", supplyInput)
	}
	return &ratiometric{analog: a, supplyInput: supplyInput, leastSupply: leastSupply, mostSupply: mostSupply}, nil
}

// share gives the input's voltage as a share of the supply's.
func (r *ratiometric) share(ctx context.Context, clock Clock) (share float64, raw string, err error) {
	supply, err := r.convert(ctx, clock, r.supplyInput, analogCalm)
	if err != nil {
		return 0, "", err
	}
	code, err := r.convert(ctx, clock, r.input.Input, analogCalm)
	if err != nil {
		return 0, "", err
	}
	raw = fmt.Sprintf("%04x of %04x", uint16(code), uint16(supply))
	if v := analogV(supply); v < r.leastSupply || v > r.mostSupply {
		return 0, raw, faultf(Unpowered, "the supply at input %d is %.2f V, and %g to %g V is needed; check that it is wired to that input", r.supplyInput, v, r.leastSupply, r.mostSupply)
	}
	if since, frozen := r.still.since(raw, clock.Now()); frozen {
		return 0, raw, faultf(Frozen, "%s and its supply have given the same codes for %v; switch the converter off and on", r.input.String(), clock.Now()-since)
	}
	return float64(code) / float64(supply), raw, nil
}

// frozenAfter is how long codes of 16 bits cannot stand still over a part that
// measures: one step is some hundredth of a kelvin or a thousandth of a bar,
// below the noise and the drift of any wiring (common practice, no source).
const frozenAfter = time.Hour

// stillness looks for raw figures that do not move any more.
type stillness struct {
	raw   string
	begun time.Duration
}

// since tells since when the figures have been the same, and whether that is too
// long to be true.
func (s *stillness) since(raw string, now time.Duration) (time.Duration, bool) {
	if raw != s.raw {
		s.raw, s.begun = raw, now
	}
	return s.begun, now-s.begun >= frozenAfter
}
