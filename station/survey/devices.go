package survey

import (
	"fmt"
	"path/filepath"
	"strings"

	"golang.org/x/sys/unix"

	"sunstoker/actuators"
)

// otherBuses lists the kernel's buses beside 1-wire, with what a site file calls
// them. What hangs on them does not say its name, so nothing is asked.
func otherBuses(device string) (notes []string) {
	if device == "" {
		device = "/dev"
	}
	for _, kind := range []struct{ pattern, words string }{
		{"spidev*", `SPI chip selects, for kind = "platinum"`},
		{"i2c-*", `I2C buses, for "thermistor", "pressure" and "current clamp"`},
		{"gpiochip*", `GPIO chips, for "flow meter", "electricity meter" and "button"`},
		{"ttyUSB*", `serial adapters, for "modbus"`},
	} {
		found, _ := filepath.Glob(filepath.Join(device, kind.pattern)) // the patterns are sound
		if len(found) == 0 {
			continue
		}
		note := kind.words + ": " + strings.Join(found, ", ")
		if denied := unwritable(found); len(denied) > 0 {
			note += fmt.Sprintf("; this user may not use %s: add it to the group that owns the device", strings.Join(denied, ", "))
		}
		notes = append(notes, note)
	}
	// A board without chips, or a user who may not open them: then there is none to tell of.
	if chips, err := actuators.ChipsInUse(); err == nil {
		notes = append(notes, chips...)
	}
	if len(notes) == 0 {
		return nil
	}
	return append(notes, "What hangs on those is told by a site file alone: name it there, then give the file to this command.")
}

func unwritable(paths []string) (denied []string) {
	for _, path := range paths {
		// Opening a serial line would already move its control wires.
		if unix.Access(path, unix.R_OK|unix.W_OK) != nil {
			denied = append(denied, path)
		}
	}
	return denied
}
