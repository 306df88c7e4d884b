package door

import (
	"net"
	"net/netip"
	"strings"
)

// hosts tells which names in a request's Host are meant for this board. A foreign
// name that was made to resolve to it, so that a foreign page could reach it
// through a person's browser (DNS rebinding), is not. An address can't be made to
// resolve to another one, so on the network every address is taken.
type hosts struct {
	network bool
	names   []string // beside localhost; without a dot at the end
}

func (h hosts) meant(host string) bool {
	name := bareHost(host)
	if strings.EqualFold(name, "localhost") {
		return true
	}
	if addr, err := netip.ParseAddr(name); err == nil {
		return h.network || addr.Unmap().IsLoopback()
	}
	for _, own := range h.names {
		if strings.EqualFold(name, own) {
			return true
		}
	}
	return false
}

// bareHost is a host without its port and brackets.
func bareHost(host string) string {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	} else if strings.HasPrefix(host, "[") && strings.HasSuffix(host, "]") {
		host = host[1 : len(host)-1]
	}
	return strings.TrimSuffix(host, ".")
}

// words say what a request may be addressed to.
func (h hosts) words() string {
	if !h.network && len(h.names) == 0 {
		return "This program answers only to localhost or a loopback address such as 127.0.0.1."
	}
	return "This program does not answer to this name. Use its address, or add the name to host_names in the site file."
}
