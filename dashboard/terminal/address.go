package terminal

import (
	"fmt"
	"net/netip"
	"net/url"
	"strings"
)

// UsualAddress is where the page on the board itself is served, unless the site
// file says otherwise.
const UsualAddress = "http://127.0.0.1:8017/"

// addressOf reads where a daemon's page is: the whole address as its log gives it,
// or host and port alone. Over a network the page is encrypted, always.
func addressOf(text string) (*url.URL, error) {
	wrong := func(what string) (*url.URL, error) {
		return nil, fmt.Errorf("%q is no address of a daemon's page: %s; write such as %s or https://board.local:8443/", text, what, UsualAddress)
	}
	whole := text
	if !strings.Contains(whole, "://") {
		whole = "http://" + text
		if u, err := url.Parse(whole); err == nil && !onLoopback(u.Hostname()) {
			whole = "https://" + text
		}
	}
	u, err := url.Parse(whole)
	switch {
	case err != nil || u.Hostname() == "":
		return wrong("there is no host in it")
	case u.User != nil:
		return nil, fmt.Errorf("an address must hold no name and no password, which others would read in the list of processes; %s", tellPassword)
	case u.Scheme != "http" && u.Scheme != "https":
		return wrong("it begins with neither http:// nor https://")
	case u.Scheme == "http" && !onLoopback(u.Hostname()):
		return wrong("over a network it begins with https://")
	case strings.Trim(u.Path, "/") != "" || u.RawQuery != "" || u.Fragment != "":
		return wrong("nothing may stand behind host and port")
	}
	u.Path = "/"
	return u, nil
}

func onLoopback(host string) bool {
	addr, err := netip.ParseAddr(host)
	return strings.EqualFold(host, "localhost") || err == nil && addr.Unmap().IsLoopback()
}
