package sensors

import (
	"fmt"
	"strings"
)

// family is what the first byte of a 1-wire identity says about a part.
type family struct {
	code  string // two lower-case hexadecimal digits
	words string
	use   use
}

type use uint8

const (
	otherPart           use = iota
	foreignThermometer      // its record is laid out differently, or may be
	readableThermometer     // laid out as the DS18B20's: this program answers for the value
)

// Family codes and parts: kernel documentation, w1_therm. That the DS1822
// shares the register and the configuration byte of the DS18B20: from memory.
var families = []family{
	{"28", "temperature probe DS18B20", readableThermometer},
	{"22", "temperature probe DS1822, a less exact DS18B20", readableThermometer},
	{"10", "temperature probe DS18S20 or DS1820, which counts in half degrees", foreignThermometer},
	{"3b", "temperature probe DS1825, or a thermocouple converter with the same code", foreignThermometer},
	{"42", "temperature probe DS28EA00", foreignThermometer},
	{"00", "no part at all: such entries appear on a bus with noise or without pull-up resistor", otherPart},
}

// familyOf looks a well-formed identity up. Other parts (memories, switches)
// get words of their own and are not readable.
func familyOf(identity string) family {
	code, _, _ := strings.Cut(identity, "-")
	for _, known := range families {
		if known.code == code {
			return known
		}
	}
	return family{code, "no temperature probe this program knows (family " + code + ")", otherPart}
}

const (
	familyDigits = 2
	serialDigits = 12
)

// CheckIdentity tells whether the text is a 1-wire identity as the kernel
// writes it: family code, dash, serial number, such as 28-00000a1b2c3d. It does
// not tell whether the part can be read.
func CheckIdentity(identity string) error {
	code, serial, dashed := strings.Cut(identity, "-")
	if dashed && len(code) == familyDigits && len(serial) == serialDigits && allLowerHex(code) && allLowerHex(serial) {
		return nil
	}
	return fmt.Errorf("%.40q is not the identity of a 1-wire probe: it must be two hexadecimal digits, a dash and twelve more, in lower case, such as 28-00000a1b2c3d", identity)
}

// checkReadable is CheckIdentity for a probe that shall be read.
func checkReadable(identity string) error {
	if err := CheckIdentity(identity); err != nil {
		return err
	}
	if part := familyOf(identity); part.use != readableThermometer {
		return faultf(Unsupported, "%s is marked as %s; use a DS18B20, whose identity begins with 28", identity, part.words)
	}
	return nil
}

// genuinePattern tells whether the identity fits those the maker of the
// DS18B20 gives out, whose two highest serial bytes are zero. A counterfeit can
// carry such a number too, so a match proves nothing. Source: C. Petrich,
// collected measurements on DS18B20 probes of many sellers (2019, 2024).
func genuinePattern(identity string) bool {
	return strings.HasPrefix(identity, "28-0000")
}

func allLowerHex(text string) bool {
	for i := range len(text) {
		if _, ok := hexDigit(text[i]); !ok {
			return false
		}
	}
	return true
}

// hexDigit is strict: the kernel writes lower case only.
func hexDigit(c byte) (byte, bool) {
	switch {
	case c >= '0' && c <= '9':
		return c - '0', true
	case c >= 'a' && c <= 'f':
		return c - 'a' + 10, true
	}
	return 0, false
}
