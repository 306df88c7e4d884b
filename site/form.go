package site

import (
	"net/netip"
	"path/filepath"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // boards without a zone database still know their civil time
	"unicode"
)

var nameForm = form{
	allowed: "a name of 1 to 40 letters, figures, spaces and common signs",
	wrong: func(text string) string {
		if text == "" || strings.TrimSpace(text) != text {
			return "the name is empty, or begins or ends with a space"
		}
		if len([]rune(text)) > 40 {
			return "the name is longer than 40 letters"
		}
		for _, r := range text {
			if !unicode.IsPrint(r) || strings.ContainsRune(`"\{}<>`, r) {
				return "the name holds a sign that cannot be used, " + strconv.QuoteRune(r)
			}
		}
		return ""
	},
}

var timeZoneForm = form{
	allowed: `a name of the IANA time zone database, such as "Europe/Rome", "America/Bogota" or "UTC"`,
	wrong: func(text string) string {
		if _, err := zoneNamed(text); err != nil {
			return "there is no time zone " + strconv.Quote(text)
		}
		return ""
	},
}

// zoneNamed knows no "Local": the file has to mean the same on every board.
func zoneNamed(name string) (*time.Location, error) {
	if name == "" || name == "Local" {
		name = "?"
	}
	return time.LoadLocation(name)
}

var folderForm = form{
	allowed: `the whole path of a folder from the root, such as "/var/lib/sunstoker"`,
	wrong:   wrongPath,
}

var fileForm = form{
	allowed: `the whole path of a file from the root, such as "/sys/class/leds/pump/brightness"`,
	wrong:   wrongPath,
}

// mostSocketPath is the longest path that the kernel takes for a socket: sun_path
// of unix(7) holds 108 bytes with the end mark.
const mostSocketPath = 107

var socketForm = form{
	allowed: `the whole path of a socket from the root, such as "/run/sunstoker/guard"`,
	wrong: func(text string) string {
		if len(text) > mostSocketPath {
			return "the path is longer than the " + strconv.Itoa(mostSocketPath) + " bytes that the kernel takes for a socket"
		}
		return wrongPath(text)
	},
}

func wrongPath(text string) string {
	switch {
	case !filepath.IsAbs(text):
		return strconv.Quote(text) + " does not begin with /"
	case strings.ContainsRune(text, 0) || filepath.Clean(text) == "/":
		return strconv.Quote(text) + " is no path that can be used"
	}
	return ""
}

var listenForm = form{
	allowed: `an address of the board itself and a port, such as "127.0.0.1:8017" or "[::1]:8017"`,
	wrong: func(text string) string {
		address, err := netip.ParseAddrPort(text)
		if err != nil {
			return strconv.Quote(text) + " is no address with a port"
		}
		if !address.Addr().IsLoopback() {
			return strconv.Quote(text) + " can be reached from outside of the board"
		}
		return ""
	},
}

// identityForm takes the parts that this program reads: DS18B20 (family 28) and
// its like, the DS1822 (22).
var identityForm = form{
	allowed: `28, a dash and twelve figures 0 to 9 or a to f, such as "28-0123456789ab"`,
	wrong: func(text string) string {
		family, serial, dashed := strings.Cut(text, "-")
		switch {
		case !dashed || len(family) != 2 || len(serial) != 12 || strings.Trim(family+serial, "0123456789abcdef") != "":
			return strconv.Quote(text) + " is no identity of a one-wire probe"
		case family != "28" && family != "22":
			return strconv.Quote(text) + " is the identity of another part than the DS18B20 that this program reads"
		}
		return ""
	},
}

var chipForm = form{
	allowed: `the chip's name, path or label, such as "gpiochip0"`,
	wrong:   wrongLabel,
}

var lineForm = form{
	allowed: `the line's label or its number on the chip, such as "GPIO17" or "17"`,
	wrong:   wrongLabel,
}

func wrongLabel(text string) string {
	if text == "" || strings.TrimSpace(text) != text || strings.ContainsFunc(text, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return strconv.Quote(text) + " is no label"
	}
	return ""
}
