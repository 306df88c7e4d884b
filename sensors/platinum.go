package sensors

import (
	"context"
	"fmt"
	"math"
	"time"

	"periph.io/x/conn/v3/physic"
	"periph.io/x/conn/v3/spi"
)

// PlatinumOptions describe a platinum probe behind a MAX31865 on the SPI bus.
type PlatinumOptions struct {
	Device       string  // the kernel's name of bus and chip select: /dev/spidev0.0
	NominalOhm   float64 // of the element at 0 °C: 100 (Pt100) or 1000 (Pt1000)
	ReferenceOhm float64 // of the resistor on the board, 3 to 6 times NominalOhm
	Wires        int     // 2, 3 or 4 from board to element
	LeadOhm      float64 // of a two-wire cable, there and back; 0 with 3 or 4 wires
	SixtyHertz   bool    // the mains whose hum is filtered; else 50 Hz
	// Open opens the device; [OpenSPI] when nil.
	Open func(device string) (spi.PortCloser, error)
}

// Platinum measures a Pt100 or Pt1000 with the resistance converter MAX31865.
//
//	Range         -60 to 300 °C; outside of it the chip itself sees a fault
//	Resolution    NominalOhm = 1000, ReferenceOhm = 4300: 0.034 K
//	Bus           SPI mode 1, 500 kHz, a chip select for each probe
//	Time          76 ms (50 Hz) or 66 ms (60 Hz), 12 ms more with a fault cycle
//	Self-heating  bias flows for that time only, once a pass
//
// Errors of the element are those of its class (IEC 60751, class B:
// 0.30 K + 0.005 |t|); an error of 0.1 % in the reference resistor adds some
// 0.26 K at 0 °C and 0.37 K at 100 °C. Two wires add their own resistance: 1 Ω is 0.26 K
// on a Pt1000 and 2.6 K on a Pt100. LeadOhm takes it out at 20 °C copper; a
// cable that is 40 K warmer than that has 16 % more.
//
// The fault-detection cycle runs at the start, every 5 min, and after any fault,
// since three of the chip's fault bits are set by nothing else. What was seen is
// reported first, then cleared, then tested anew. Chip registers, bits and
// times: MAX31865 datasheet, from memory but for conversion and tables, which
// testdata holds.
type Platinum struct {
	options PlatinumOptions
	port    device[spi.PortCloser]
	conn    spi.Conn
	base    byte // configuration without bias
	low     uint16
	high    uint16

	cycled   bool          // the detection cycle has run since the device was opened
	cycledAt time.Duration // when
	suspect  bool          // a fault was seen: test again at the next call
	seen     int           // faults since the start
}

const (
	platinumLeastC = -60.0 // the chip's fault thresholds, as temperatures
	platinumMostC  = 300.0

	platinumSettle   = 10 * time.Millisecond // bias on until the input filter has settled
	platinumDetect   = 2 * time.Millisecond  // an automatic detection cycle takes 0.6 ms
	platinumConvert5 = 66 * time.Millisecond // 50 Hz filter, longest
	platinumConvert6 = 56 * time.Millisecond // 60 Hz filter, longest
	platinumRecheck  = 5 * time.Minute       // from one detection cycle to the next

	platinumSpeed = 500 * physic.KiloHertz // the chip bears 5 MHz; slow forgives long ribbons

	leadMostK = 5.0 // a cable worth more than this is a wrong cable
)

// NewPlatinum checks the options; nothing is opened before the first Ask.
func NewPlatinum(o PlatinumOptions) (*Platinum, error) {
	if err := o.check(); err != nil {
		return nil, fmt.Errorf("platinum probe at %s: %w", o.Device, err)
	}
	if o.Open == nil {
		o.Open = OpenSPI
	}
	p := &Platinum{options: o}
	p.port.open = func() (spi.PortCloser, error) { return o.Open(o.Device) }
	if !o.SixtyHertz {
		p.base |= configFiftyHertz
	}
	if o.Wires == 3 {
		p.base |= configThreeWires
	}
	p.low = p.register(PlatinumOhm(platinumLeastC, o.NominalOhm))
	p.high = p.register(PlatinumOhm(platinumMostC, o.NominalOhm) + o.LeadOhm)
	return p, nil
}

func (o *PlatinumOptions) check() error {
	switch ratio := o.ReferenceOhm / o.NominalOhm; {
	case o.NominalOhm != 100 && o.NominalOhm != 1000:
		return fmt.Errorf("an element of %g Ω is not known: 100 (Pt100) or 1000 (Pt1000) at 0 °C", o.NominalOhm)
	case !(ratio >= 3 && ratio <= 6):
		return fmt.Errorf("a reference resistor of %g Ω does not go with %g Ω: boards carry some 4 times the element's value, read it off the board", o.ReferenceOhm, o.NominalOhm)
	case o.Wires < 2 || o.Wires > 4:
		return fmt.Errorf("%d wires: a platinum element has 2, 3 or 4", o.Wires)
	case o.Wires > 2 && o.LeadOhm != 0:
		return fmt.Errorf("a cable resistance of %g Ω is taken off although %d wires take it out by themselves: leave it at 0", o.LeadOhm, o.Wires)
	case !(o.LeadOhm >= 0):
		return fmt.Errorf("a cable cannot have %g Ω", o.LeadOhm)
	}
	if offset := LeadOffsetK(o.LeadOhm, o.NominalOhm); offset > leadMostK {
		return fmt.Errorf("a cable of %.3g Ω shifts the reading by %.1f K: use three wires, a thicker cable or a Pt1000", o.LeadOhm, offset)
	}
	return nil
}

// LeadOffsetK is by how much a two-wire cable of leadOhm (there and back) shifts
// the reading of an element with ohm0 at 0 °C, in K near 0 °C.
func LeadOffsetK(leadOhm, ohm0 float64) float64 { return leadOhm / (ohm0 * platinumA) }

// Name implements [Driver].
func (p *Platinum) Name() string { return "the platinum probe at " + p.options.Device }

// Close lets go of the device.
func (p *Platinum) Close() error {
	p.conn, p.cycled = nil, false
	return p.port.drop()
}

// Ask implements [Driver].
func (p *Platinum) Ask(ctx context.Context, clock Clock) (Answer, error) {
	if err := p.connect(); err != nil {
		return Answer{}, err
	}
	answer, err := p.measure(ctx, clock)
	if err != nil {
		p.suspect = true
		if fault, own := err.(*Fault); !own || fault.Kind == Absent || fault.Kind == Unsettled {
			_ = p.Close() // whatever it says, the device is opened anew
		}
	}
	return answer, err
}

func (p *Platinum) connect() error {
	port, err := p.port.get()
	if err != nil || p.conn != nil {
		return err
	}
	p.conn, err = port.Connect(platinumSpeed, spi.Mode1, 8)
	if err != nil {
		p.conn = nil
		_ = p.port.drop() // the error that counts is the one before
	}
	return err
}

// measure switches the bias on, measures, and switches it off whatever happens.
func (p *Platinum) measure(ctx context.Context, clock Clock) (answer Answer, err error) {
	if err := p.writeThresholds(); err != nil {
		return Answer{}, err
	}
	defer func() {
		if off := p.configure(p.base); err == nil && off != nil {
			answer, err = Answer{}, off
		}
	}()
	if err := p.configure(p.base | configBias); err != nil {
		return Answer{}, err
	}
	if err := waitFor(ctx, clock, platinumSettle); err != nil {
		return Answer{}, err
	}
	var cycle byte
	if !p.cycled || p.suspect || clock.Now()-p.cycledAt >= platinumRecheck {
		if cycle, err = p.detect(ctx, clock); err != nil {
			return Answer{}, err
		}
	}
	if err := p.configure(p.base | configBias | configOneShot); err != nil {
		return Answer{}, err
	}
	if err := waitFor(ctx, clock, p.conversion()); err != nil {
		return Answer{}, err
	}
	chip, err := p.steady()
	if err != nil {
		return Answer{}, err
	}
	return p.judge(chip, cycle)
}

func (p *Platinum) conversion() time.Duration {
	if p.options.SixtyHertz {
		return platinumConvert6
	}
	return platinumConvert5
}

// detect runs the fault-detection cycle and gives the fault bits it set, which
// stay set until they are cleared.
func (p *Platinum) detect(ctx context.Context, clock Clock) (byte, error) {
	if err := p.configure(p.base | configBias | configDetect); err != nil {
		return 0, err
	}
	if err := waitFor(ctx, clock, platinumDetect); err != nil {
		return 0, err
	}
	chip, err := p.read()
	if err != nil {
		return 0, err
	}
	if fault := p.present(chip, configDetect); fault != nil {
		return 0, fault
	}
	if chip.configuration&configDetect != 0 {
		return 0, faultf(Unsettled, "the fault-detection cycle of %s did not end", p.options.Device)
	}
	p.cycled, p.cycledAt, p.suspect = true, clock.Now(), false
	return chip.faults, nil
}

// judge turns what the chip holds after a conversion into a value or a fault.
// cycle are the bits that a detection cycle has set just before.
func (p *Platinum) judge(chip chipMemory, cycle byte) (Answer, error) {
	answer := Answer{Value: math.NaN(), Raw: chip.String()}
	if fault := p.present(chip, configOneShot); fault != nil {
		return answer, fault
	}
	if chip.configuration&configOneShot != 0 {
		return answer, faultf(Unsettled, "the conversion of %s did not end", p.options.Device)
	}
	if bits := chip.faults&faultMask | cycle&faultMask; bits != 0 || chip.resistance&1 != 0 {
		p.seen++
		fault := explainFaults(bits, p.seen)
		if err := p.configure(p.base | configClear); err != nil {
			return answer, err
		}
		return answer, fault
	}
	ohm := p.ohm(chip.resistance) - p.options.LeadOhm
	tempC, err := PlatinumC(ohm, p.options.NominalOhm)
	if err != nil || tempC < platinumLeastC || tempC > platinumMostC {
		return answer, faultf(OutOfRange, "it has %.4g Ω, which is not within %g to %g °C; check element, reference resistor and number of wires", ohm, platinumLeastC, platinumMostC)
	}
	answer.Value = tempC
	return answer, nil
}

// ohm is the resistance that a register stands for: 15 bits of the reference,
// above the fault bit.
func (p *Platinum) ohm(register uint16) float64 {
	return float64(register>>1) * p.options.ReferenceOhm / (1 << 15)
}

// register is the inverse of ohm, without the fault bit.
func (p *Platinum) register(ohm float64) uint16 {
	code := math.Round(ohm * (1 << 15) / p.options.ReferenceOhm)
	return uint16(min(max(code, 0), 1<<15-1)) << 1
}
