package sensorstest

import (
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"sync"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"
)

// AnalogChip stands for an ADS1115 on an I2C bus of its own. It follows the
// datasheet's register map (from memory). Change it through [AnalogChip.Change]
// while somebody reads it.
type AnalogChip struct {
	mu      sync.Mutex
	Address uint16                // 0x48 when 0
	Volts   [4]float64            // of the inputs
	Wave    func(int) float64     // added to every input, by the number of the conversion; may be nil
	Slow    int                   // how many looks a conversion takes more
	Forgets bool                  // shows the settings of a chip that has just got its supply
	Stuck   bool                  // gives the code of the last conversion for ever
	Wire    func(register []byte) // spoils what is read; may be nil
	Err     error                 // what every transfer fails with
	Opened  int

	configuration uint16
	code          int16
	busy          int
	conversions   int
}

// Change calls do while nobody reads the chip.
func (c *AnalogChip) Change(do func(*AnalogChip)) {
	c.mu.Lock()
	defer c.mu.Unlock()
	do(c)
}

// Open is what opens the bus, whatever its name.
func (c *AnalogChip) Open(string) (i2c.BusCloser, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.Opened++
	return analogBus{c}, c.Err
}

type analogBus struct{ chip *AnalogChip }

func (b analogBus) String() string                  { return "fake" }
func (b analogBus) Close() error                    { return nil }
func (b analogBus) SetSpeed(physic.Frequency) error { return nil }

func (b analogBus) Tx(address uint16, w, r []byte) error {
	c := b.chip
	c.mu.Lock()
	defer c.mu.Unlock()
	here := c.Address
	if here == 0 {
		here = 0x48
	}
	switch {
	case c.Err != nil:
		return c.Err
	case address != here:
		return fmt.Errorf("no answer at %#x", address)
	case len(w) == 3 && w[0] == 1:
		c.start(binary.BigEndian.Uint16(w[1:]))
		return nil
	case len(w) == 1 && len(r) == 2:
		binary.BigEndian.PutUint16(r, c.register(w[0]))
		if c.Wire != nil {
			c.Wire(r)
		}
		return nil
	}
	return errors.New("a transfer that the chip does not know")
}

func (c *AnalogChip) start(configuration uint16) {
	c.configuration = configuration &^ 0x8000
	if configuration&0x8000 == 0 {
		return
	}
	if c.busy = c.Slow + 1; configuration&0xE0 != 0xE0 {
		c.busy++ // it is seen at work before the wait, but for the swiftest
	}
	input := int(configuration>>12)&7 - 4
	if input < 0 || c.Stuck {
		return
	}
	fullV := []float64{6.144, 4.096, 2.048, 1.024, 0.512, 0.256, 0.256, 0.256}[configuration>>9&7]
	volts := c.Volts[input]
	if c.Wave != nil {
		volts += c.Wave(c.conversions)
	}
	c.conversions++
	c.code = int16(min(max(math.Round(volts/fullV*32768), -32768), 32767))
}

func (c *AnalogChip) register(number byte) uint16 {
	switch {
	case number == 0:
		return uint16(c.code)
	case c.Forgets:
		return 0x8583
	}
	if c.busy--; c.busy > 0 {
		return c.configuration
	}
	return c.configuration | 0x8000
}
