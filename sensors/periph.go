package sensors

import (
	"fmt"
	"os"
	"strconv"
	"strings"

	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/spi"
	"periph.io/x/host/v3/sysfs"
)

// The library's own errors drop the kernel's reason, and its registry would load
// drivers that nobody asked for; so the device is tried first and then opened by
// its numbers.

// OpenSPI opens the kernel's device of one chip select, such as /dev/spidev0.1.
func OpenSPI(device string) (spi.PortCloser, error) {
	bus, chip, err := SPINumbers(device)
	if err != nil {
		return nil, err
	}
	if err := try(device); err != nil {
		return nil, err
	}
	return sysfs.NewSPI(bus, chip)
}

// SPINumbers takes the name of an SPI device apart.
func SPINumbers(device string) (bus, chip int, err error) {
	numbers, ok := strings.CutPrefix(device, "/dev/spidev")
	first, second, dotted := strings.Cut(numbers, ".")
	bus, busOK := deviceNumber(first)
	chip, chipOK := deviceNumber(second)
	if !ok || !dotted || !busOK || !chipOK {
		return 0, 0, fmt.Errorf("%.40q is no SPI device; write /dev/spidev, the bus, a point and the chip select, such as /dev/spidev0.0", device)
	}
	return bus, chip, nil
}

// OpenI2C opens the kernel's device of an I2C bus, such as /dev/i2c-1.
func OpenI2C(device string) (i2c.BusCloser, error) {
	bus, err := I2CNumber(device)
	if err != nil {
		return nil, err
	}
	if err := try(device); err != nil {
		return nil, err
	}
	return sysfs.NewI2C(bus)
}

// I2CNumber is the number of a bus in the name of its device.
func I2CNumber(device string) (int, error) {
	text, ok := strings.CutPrefix(device, "/dev/i2c-")
	bus, numberOK := deviceNumber(text)
	if !ok || !numberOK {
		return 0, fmt.Errorf("%.40q is no I2C bus; write /dev/i2c- and the bus, such as /dev/i2c-1", device)
	}
	return bus, nil
}

// deviceNumber reads a number as the kernel writes it in the name of a device.
func deviceNumber(text string) (int, bool) {
	n, err := strconv.Atoi(text)
	return n, err == nil && n >= 0 && n <= 255 && strconv.Itoa(n) == text
}

func try(device string) error {
	file, err := os.OpenFile(device, os.O_RDWR, 0)
	if err != nil {
		return err
	}
	return file.Close()
}
