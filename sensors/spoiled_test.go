package sensors

import (
	"errors"
	"math"
	"testing"

	"periph.io/x/conn/v3"
	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/conn/v3/spi"

	"sunstoker/sensors/sensorstest"
)

// spoiler does harm to one transfer of a bus: the one whose turn it is.
type spoiler struct {
	turn  int  // number of the transfer
	how   byte // see spoil
	where byte // which bit or byte
	last  []byte
}

// spoil is one transfer over a bus that do makes; what is written and what is
// read can both be struck.
func (s *spoiler) spoil(w, r []byte, do func(w, r []byte) error) error {
	mine := s.turn == 0
	s.turn--
	if !mine {
		err := do(w, r)
		s.last = append(s.last[:0], r...)
		return err
	}
	flip := func(b []byte) []byte {
		b = append([]byte(nil), b...)
		if len(b) > 0 {
			b[int(s.where/8)%len(b)] ^= 1 << (s.where % 8)
		}
		return b
	}
	switch s.how % 7 {
	case 0:
		return errors.New("no answer")
	case 1: // it never arrives, and nobody says so
		return nil
	case 2:
		return do(flip(w), r)
	}
	if err := do(w, r); err != nil {
		return err
	}
	switch s.how % 7 {
	case 3:
		copy(r, flip(r))
	case 4: // cut off
		for i := min(int(s.where), len(r)); i < len(r); i++ {
			r[i] = 0
		}
	case 5:
		for i := range r {
			r[i] = 0xFF
		}
	case 6: // what was read before comes again
		copy(r, s.last)
	}
	return nil
}

type spoiledI2C struct {
	i2c.BusCloser
	*spoiler
}

func (b spoiledI2C) Tx(address uint16, w, r []byte) error {
	return b.spoil(w, r, func(w, r []byte) error { return b.BusCloser.Tx(address, w, r) })
}

type spoiledSPI struct {
	spi.PortCloser
	conn spi.Conn
	*spoiler
}

func (p *spoiledSPI) Connect(f physic.Frequency, mode spi.Mode, bits int) (c spi.Conn, err error) {
	p.conn, err = p.PortCloser.Connect(f, mode, bits)
	return p, err
}
func (p *spoiledSPI) Tx(w, r []byte) error         { return p.spoil(w, r, p.conn.Tx) }
func (p *spoiledSPI) TxPackets([]spi.Packet) error { return errors.New("not used") }
func (p *spoiledSPI) Duplex() conn.Duplex          { return conn.Full }

// spoiledProbes are probes of every kind that a chip is asked for, each with what
// it really measures and how near it comes to that.
func spoiledProbes(t *testing.T, s *spoiler) map[string]struct {
	driver       Driver
	value, close float64
} {
	t.Helper()
	platinum := &sensorstest.PlatinumChip{Code: 8830} // 20 °C
	analog := &sensorstest.AnalogChip{Volts: [4]float64{1: divided(10_000), 3: 3.3}}
	pressure := &sensorstest.AnalogChip{Volts: [4]float64{1: 2.5, 3: 5}}
	clamp := &sensorstest.AnalogChip{Volts: [4]float64{1.65}, Wave: func(n int) float64 { return math.Sqrt2 * 0.1 * math.Sin(2*math.Pi*float64(n)/5) }}
	input := func(chip *sensorstest.AnalogChip, n int) AnalogInput {
		return AnalogInput{Device: "/dev/i2c-1", Address: 0x48, Input: n, Open: func(device string) (i2c.BusCloser, error) {
			bus, err := chip.Open(device)
			return spoiledI2C{bus, s}, err
		}}
	}
	p, err := NewPlatinum(PlatinumOptions{Device: "/dev/spidev0.0", NominalOhm: 100, ReferenceOhm: 400, Wires: 3, Open: func(device string) (spi.PortCloser, error) {
		port, err := platinum.Open(device)
		return &spoiledSPI{PortCloser: port, spoiler: s}, err
	}})
	th, thErr := NewThermistor(ThermistorOptions{AnalogInput: input(analog, 1), SupplyInput: 3, Ohm25: 10_000, BetaK: 3977, DividerOhm: 10_000})
	pr, prErr := NewPressure(PressureOptions{AnalogInput: input(pressure, 1), SupplyInput: 3, SpanBar: 6})
	cl, clErr := NewClamp(ClampOptions{AnalogInput: input(clamp, 0), AmperePerVolt: 30})
	if err := errors.Join(err, thErr, prErr, clErr); err != nil {
		t.Fatal(err)
	}
	return map[string]struct {
		driver       Driver
		value, close float64
	}{"platinum": {p, 20, 0.1}, "thermistor": {th, 25, 0.05}, "pressure": {pr, 3, 0.01}, "clamp": {cl, 3, 0.05}}
}

// FuzzSpoiledBus strikes one transfer of a measurement: the value is right, or
// there is none and a word about it, and the measurement after it is right.
func FuzzSpoiledBus(f *testing.F) {
	for turn := range byte(30) {
		for how := range byte(7) {
			f.Add(turn, how, byte(5+turn))
		}
	}
	f.Add(byte(250), byte(3), byte(6)) // in the middle of a clamp's samples
	f.Fuzz(func(t *testing.T, turn, how, where byte) {
		s := &spoiler{}
		for name, probe := range spoiledProbes(t, s) {
			*s = spoiler{turn: int(turn), how: how, where: where}
			clock, after := &swiftClock{}, 0 // measurements begun after the strike
			for after < 2 {
				if s.turn < 0 {
					after++
				}
				answer, err := probe.driver.Ask(t.Context(), clock)
				switch {
				case err == nil && !(math.Abs(answer.Value-probe.value) <= probe.close):
					t.Errorf("%s: transfer %d, harm %d, %d: %v for %v", name, turn, how%7, where, answer.Value, probe.value)
				case err != nil && (err.Error() == "" || !math.IsNaN(answer.Value) && answer.Value != 0):
					t.Errorf("%s: %v beside %q", name, answer.Value, err)
				case err != nil && after == 2:
					t.Errorf("%s: transfer %d, harm %d, %d: it does not recover: %v", name, turn, how%7, where, err)
				}
			}
		}
	})
}
