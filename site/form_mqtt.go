package site

import (
	"net"
	"net/netip"
	"strconv"
	"strings"
)

const (
	clearScheme     = "mqtt://"
	encryptedScheme = "mqtts://"
)

// brokerParts takes the address of a broker apart that its form has proved.
func brokerParts(text string) (address string, encrypted bool) {
	if address, encrypted = strings.CutPrefix(text, encryptedScheme); encrypted {
		return address, true
	}
	return strings.TrimPrefix(text, clearScheme), false
}

var brokerForm = form{
	allowed: `mqtts:// or mqtt://, a name or address, a colon and a port, such as "mqtts://broker.example:8883" or "mqtt://127.0.0.1:1883"`,
	wrong: func(text string) string {
		address, encrypted := brokerParts(text)
		if !encrypted && !strings.HasPrefix(text, clearScheme) {
			return strconv.Quote(text) + " does not say how to connect"
		}
		host, port, err := net.SplitHostPort(address)
		if err != nil {
			return strconv.Quote(address) + " is no name or address with a port"
		}
		if n, err := strconv.ParseUint(port, 10, 16); err != nil || n == 0 {
			return strconv.Quote(port) + " is no number of a port"
		}
		if _, err := netip.ParseAddr(host); err != nil && (host == "" || len(host) > 253 || strings.Trim(strings.ToLower(host), nameLetters+".") != "") {
			return strconv.Quote(host) + " is no name or address of a broker"
		}
		return ""
	},
}

var certificateForm = form{
	allowed: `the whole path of a file from the root, such as "/etc/sunstoker/broker-authority.pem"`,
	wrong:   wrongPath,
}

var passwordForm = form{
	allowed: `the whole path of a file from the root, such as "/etc/sunstoker/broker-password"`,
	wrong:   wrongPath,
}

var brokerUserForm = form{
	allowed: "a name of 1 to 64 letters, figures and the signs . _ @ -",
	wrong: func(text string) string {
		if text == "" || len(text) > 64 || strings.Trim(strings.ToLower(text), nameLetters+"._@") != "" {
			return strconv.Quote(text) + " is no name for a broker"
		}
		return ""
	},
}

var topicForm = form{
	allowed: `words of letters, figures, dashes and low lines with / between, such as "sunstoker" or "houses/hill", 64 signs at most`,
	wrong: func(text string) string {
		for level := range strings.SplitSeq(text, "/") {
			if level == "" || strings.Trim(strings.ToLower(level), nameLetters+"_") != "" {
				return strconv.Quote(text) + " is no topic"
			}
		}
		if len(text) > 64 {
			return "the topic is longer than 64 signs"
		}
		return ""
	},
}
