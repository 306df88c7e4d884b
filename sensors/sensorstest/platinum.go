package sensorstest

import (
	"errors"
	"fmt"
	"sync"

	"periph.io/x/conn/v3"
	"periph.io/x/conn/v3/physic"
	"periph.io/x/conn/v3/spi"
)

// PlatinumChip stands for a MAX31865 with a platinum element, on a bus that can
// be cut. It follows the datasheet's register map (from memory). Change it
// through [PlatinumChip.Change] while somebody reads it.
type PlatinumChip struct {
	mu      sync.Mutex
	Memory  [8]byte
	Code    uint16          // what the next conversion gives, 15 bits
	Trips   byte            // fault bits that the detection cycle finds
	Flaky   byte            // the same, once and then not again
	Hangs   bool            // conversions and cycles do not end
	Forgets bool            // loses its settings before each read
	Wire    []byte          // what a read gives instead of the memory; nil for the memory
	Err     error           // what every transfer fails with
	Hold    <-chan struct{} // a transfer waits for it; nil: for nothing
	Opened  int
	Cycles  int // detection cycles
}

// Change calls do while nobody reads the chip.
func (c *PlatinumChip) Change(do func(*PlatinumChip)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	do(c)
}

// Open is what opens the chip's device, whatever its name.
func (c *PlatinumChip) Open(string) (spi.PortCloser, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.Opened++
	return &platinumPort{c}, c.Err
}

type platinumPort struct{ chip *PlatinumChip }

func (p *platinumPort) String() string                    { return "fake" }
func (p *platinumPort) Close() error                      { return nil }
func (p *platinumPort) LimitSpeed(physic.Frequency) error { return nil }
func (p *platinumPort) Duplex() conn.Duplex               { return conn.Full }
func (p *platinumPort) TxPackets([]spi.Packet) error      { return errors.New("not used") }

func (p *platinumPort) Tx(w, r []byte) error {
	p.chip.mu.Lock()
	hold := p.chip.Hold
	p.chip.mu.Unlock()
	if hold != nil {
		<-hold
	}
	return p.chip.transfer(w, r)
}

func (p *platinumPort) Connect(f physic.Frequency, mode spi.Mode, bits int) (spi.Conn, error) {
	if mode&1 == 0 || bits != 8 || f > 5*physic.MegaHertz {
		return nil, fmt.Errorf("the chip cannot be read with mode %v, %d bits, %v", mode, bits, f)
	}
	return p, nil
}

func (c *PlatinumChip) transfer(w, r []byte) error {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case c.Err != nil:
		return c.Err
	case len(w) == 0:
		return errors.New("a transfer without an address")
	case w[0]&0x80 == 0:
		c.read(w[0], r)
		return nil
	}
	copy(c.Memory[min(int(w[0]&0x7F), len(c.Memory)):], w[1:])
	if w[0] == 0x80 && !c.Hangs {
		c.obey()
	}
	return nil
}

func (c *PlatinumChip) read(from byte, r []byte) {
	if c.Forgets {
		c.Memory = [8]byte{3: 0xFF, 4: 0xFF}
	}
	if len(r) == 0 {
		return
	}
	copy(r[1:], c.Memory[min(int(from), len(c.Memory)):])
	if c.Wire != nil {
		copy(r[1:], c.Wire)
	}
}

// obey does what the configuration asks for and clears the bits that ask.
func (c *PlatinumChip) obey() {
	const clear, detect, oneShot = 0x02, 0x04, 0x20
	switch configuration := c.Memory[0]; {
	case configuration&clear != 0:
		c.Memory[7], c.Memory[2] = 0, c.Memory[2]&^1
	case configuration&detect != 0:
		c.Cycles++
		c.Memory[7] |= c.Trips | c.Flaky
		c.Flaky = 0
	case configuration&oneShot != 0:
		c.convert()
	}
	c.Memory[0] &^= clear | detect | oneShot
}

func (c *PlatinumChip) convert() {
	register := c.Code << 1
	high := uint16(c.Memory[3])<<8 | uint16(c.Memory[4])
	low := uint16(c.Memory[5])<<8 | uint16(c.Memory[6])
	if register >= high {
		c.Memory[7] |= 0x80
	}
	if register <= low {
		c.Memory[7] |= 0x40
	}
	if c.Memory[7] != 0 {
		register |= 1
	}
	c.Memory[1], c.Memory[2] = byte(register>>8), byte(register)
}
