package site

import (
	"net/netip"
	"path/filepath"
	"strconv"
	"strings"
)

// Connection is a Modbus line as a site file writes it: over TCP, or else serial.
type Connection struct {
	Text   string // as written
	TCP    string // address and port
	Device string // of a serial line
	Speed  int    // of a serial line, bit/s
	Parity string // of a serial line: "none", "even" or "odd"
}

var (
	lineSpeeds   = []string{"1200", "2400", "4800", "9600", "19200", "38400", "57600", "115200"}
	lineParities = []string{"none", "even", "odd"}
)

var connectionForm = form{
	allowed: `an address with its port, such as "192.168.1.20:502", or a serial device with speed and parity, such as "/dev/ttyUSB0 9600 none"`,
	wrong: func(text string) string {
		_, wrong := parseConnection(text)
		return wrong
	},
}

// parseConnection reads a connection; wrong is empty when it is right.
func parseConnection(text string) (c Connection, wrong string) {
	if strings.HasPrefix(text, "/") {
		return parseSerial(text)
	}
	address, err := netip.ParseAddrPort(text)
	switch {
	case err != nil:
		return c, strconv.Quote(text) + " is no address with a port"
	case address.Port() == 0:
		return c, "the port is 0, where nobody listens"
	case !address.Addr().IsPrivate() && !address.Addr().IsLoopback() && !address.Addr().IsLinkLocalUnicast():
		return c, strconv.Quote(text) + " is an address of the open internet, and Modbus has no password"
	}
	return Connection{Text: text, TCP: text}, ""
}

func parseSerial(text string) (c Connection, wrong string) {
	parts := strings.Fields(text)
	if len(parts) != 3 {
		return c, strconv.Quote(text) + " is not a device with speed and parity"
	}
	speed, parity := oneOf(parts[1], lineSpeeds), oneOf(parts[2], lineParities)
	switch {
	case !strings.HasPrefix(parts[0], "/dev/") || filepath.Clean(parts[0]) != parts[0]:
		return c, strconv.Quote(parts[0]) + " is no device"
	case !speed:
		return c, strconv.Quote(parts[1]) + " is no speed of a line: " + orList(lineSpeeds)
	case !parity:
		return c, strconv.Quote(parts[2]) + " is no parity: " + orList(lineParities)
	}
	bits, _ := strconv.Atoi(parts[1]) // one of the speeds
	return Connection{Text: text, Device: parts[0], Speed: bits, Parity: parts[2]}, ""
}

func oneOf(text string, list []string) bool {
	for _, other := range list {
		if other == text {
			return true
		}
	}
	return false
}

// mustConnection reads a connection whose form was seen to be right.
func mustConnection(text string) Connection {
	c, _ := parseConnection(text)
	return c
}

// Place is what two connections share when they use the same wire or module.
func (c Connection) Place() string {
	if c.TCP != "" {
		return c.TCP
	}
	return c.Device
}
