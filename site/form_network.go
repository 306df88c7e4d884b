package site

import (
	"net/netip"
	"strconv"
	"strings"
)

var anywhereForm = form{
	allowed: `an address of the board and a port, such as "127.0.0.1:8018" or "0.0.0.0:8444"`,
	wrong: func(text string) string {
		if _, err := netip.ParseAddrPort(text); err != nil {
			return strconv.Quote(text) + " is no address with a port"
		}
		return ""
	},
}

var outsideForm = form{
	allowed: `an address of the board that other devices reach and a port, such as "0.0.0.0:8443"`,
	wrong: func(text string) string {
		address, err := netip.ParseAddrPort(text)
		switch {
		case err != nil:
			return strconv.Quote(text) + " is no address with a port"
		case address.Addr().Unmap().IsLoopback():
			return strconv.Quote(text) + " can be reached from the board alone"
		case address.Port() == 0:
			return "nobody would know the port"
		}
		return ""
	},
}

var webFileForm = form{
	allowed: `the whole path of a file from the root, such as "/var/lib/sunstoker/web.yml"`,
	wrong:   wrongPath,
}

// commaList takes a list apart that a form has proved.
func commaList(text string) (all []string) {
	for part := range strings.SplitSeq(text, ",") {
		all = append(all, strings.TrimSpace(part))
	}
	return all
}

// listForm is the form of a list with commas between.
func listForm(allowed, what, letters string, most int) form {
	return form{
		allowed: allowed,
		wrong: func(text string) string {
			seen := map[string]bool{}
			for _, part := range commaList(text) {
				switch {
				case part == "":
					return "a name is empty"
				case len(part) > most || strings.Trim(part, letters) != "":
					return strconv.Quote(part) + " is no name of a " + what
				case seen[part]:
					return strconv.Quote(part) + " stands twice"
				}
				seen[part] = true
			}
			return ""
		},
	}
}

const nameLetters = "abcdefghijklmnopqrstuvwxyz0123456789-"

var (
	personsForm   = listForm(`names of 1 to 32 small letters, figures and dashes with commas between, such as "anna, the-installer"`, "person here", nameLetters, 32)
	hostNamesForm = listForm(`names of the board in small letters with commas between, such as "heater.example"`, "host", nameLetters+".", 253)
)
