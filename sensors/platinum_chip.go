package sensors

import (
	"encoding/binary"
	"fmt"
	"strings"
)

// Registers and bits of the MAX31865: its datasheet, register map and
// configuration register (from memory; the fault bits and formats are in
// testdata/max31865_formulas.json as read).
const (
	registerConfiguration = 0x00 // resistance in 1 and 2, thresholds in 3 to 6, faults in 7
	registerThresholds    = 0x03
	writeBit              = 0x80

	configBias       = 0x80
	configOneShot    = 0x20 // clears itself when the conversion begins to be readable
	configThreeWires = 0x10
	configDetect     = 0x04 // automatic fault-detection cycle; reads 0 when finished
	configClear      = 0x02 // clears the fault bits, then itself
	configFiftyHertz = 0x01

	faultMask = 0xFC // the two lowest bits mean nothing
)

// chipMemory is the whole of the chip's registers.
type chipMemory struct {
	configuration byte
	resistance    uint16 // 15 bits and, lowest, the fault bit
	high, low     uint16 // fault thresholds
	faults        byte
}

func parseChip(b [8]byte) chipMemory {
	return chipMemory{
		configuration: b[0],
		resistance:    binary.BigEndian.Uint16(b[1:]),
		high:          binary.BigEndian.Uint16(b[3:]),
		low:           binary.BigEndian.Uint16(b[5:]),
		faults:        b[7],
	}
}

// String is the resistance register and the fault bits, for the installer.
func (c chipMemory) String() string {
	return fmt.Sprintf("resistance %04x, faults %02x", c.resistance, c.faults)
}

// read reads every register in one transfer, so that they belong together.
func (p *Platinum) read() (chipMemory, error) {
	var send, got [9]byte
	send[0] = registerConfiguration
	if err := p.conn.Tx(send[:], got[:]); err != nil {
		return chipMemory{}, err
	}
	return parseChip([8]byte(got[1:])), nil
}

// steady reads every register twice: the bus has no checksum, and noise on it
// does not strike twice alike.
func (p *Platinum) steady() (chipMemory, error) {
	first, err := p.read()
	if err != nil {
		return chipMemory{}, err
	}
	second, err := p.read()
	if err == nil && first != second {
		err = faultf(Unsettled, "%s gives one conversion as %v and as %v; look for noise on the bus: long wires, mains cables beside it", p.options.Device, first, second)
	}
	return second, err
}

func (p *Platinum) configure(configuration byte) error {
	return p.conn.Tx([]byte{registerConfiguration | writeBit, configuration}, nil)
}

// writeThresholds sets the resistances beyond which the chip sees a fault. They
// are written each time: a chip that has lost its supply has forgotten them.
func (p *Platinum) writeThresholds() error {
	b := []byte{registerThresholds | writeBit}
	b = binary.BigEndian.AppendUint16(b, p.high)
	b = binary.BigEndian.AppendUint16(b, p.low)
	return p.conn.Tx(b, nil)
}

// present tells whether a chip with our settings has answered. self are bits of
// the configuration that the chip clears by itself.
func (p *Platinum) present(chip chipMemory, self byte) *Fault {
	switch {
	case chip == parseChip([8]byte{}):
		return faultf(Absent, "%s answers zeros only; check supply, chip select and the wire from the chip's data output", p.options.Device)
	case chip == parseChip([8]byte{255, 255, 255, 255, 255, 255, 255, 255}):
		return faultf(Absent, "%s answers ones only; check supply, chip select and the wire from the chip's data output", p.options.Device)
	}
	want := p.base | configBias
	if chip.configuration&^self != want || chip.high != p.high || chip.low != p.low {
		return faultf(Unsettled, "the chip at %s does not hold its settings (configuration %02x for %02x, thresholds %04x and %04x for %04x and %04x); check its supply, and that it is a MAX31865 that no other program uses",
			p.options.Device, chip.configuration, want, chip.high, chip.low, p.high, p.low)
	}
	return nil
}

// chipFaults says what each fault bit means, the most telling first. Every bit
// counts: ignoring one hides a wire that is open now and then.
var chipFaults = []struct {
	bit   byte
	kind  FaultKind
	words string
}{
	{0x04, Overvoltage, "a terminal is above the chip's supply or below its ground; look for a wire that touches mains parts, metal work or another supply"},
	{0x20, Broken, "the reference input is too high: the element or a wire to it is open"},
	{0x10, Broken, "the reference input is too low with the drive switched off: the wire at the drive's return terminal is open or touches something"},
	{0x08, Broken, "the element's input is too low with the drive switched off: the wire at the element's lower terminal is open or touches something"},
	{0x80, Broken, "the resistance is above that of 300 °C: open element or wire, or the wrong number of wires"},
	{0x40, Shorted, "the resistance is below that of -60 °C: shorted element or cable, or a Pt100 where a Pt1000 is expected"},
}

// explainFaults puts every fault bit into words; the kind is that of the most
// telling one. Without a bit the register's own mark was set alone.
func explainFaults(bits byte, seen int) *Fault {
	kind := Unsettled
	words := []string{}
	for _, row := range chipFaults {
		if bits&row.bit == 0 {
			continue
		}
		if len(words) == 0 {
			kind = row.kind
		}
		words = append(words, row.words)
	}
	if len(words) == 0 {
		words = append(words, "the chip marks the reading as faulty and gives no reason")
	}
	return faultf(kind, "%s (seen %d times since the start)", strings.Join(words, "; also "), seen)
}
