package site

import (
	"net/netip"
	"path/filepath"
	"slices"
	"strconv"
)

// checkNetwork sees that somebody may install where the page is for other
// devices, that nobody has two roles, and that no port is taken twice. It gives
// the web configuration its place.
func (w *walker) checkNetwork() {
	n, people := &w.site.Network, &w.site.People
	if n.WebConfiguration == "" {
		n.WebConfiguration = filepath.Join(w.site.StateFolder, "web.yml")
	}
	for _, key := range []struct{ path, address string }{{"network.listen", n.Listen}, {"daemon.metrics_listen", w.site.MetricsListen}} {
		if w.sound[key.path] && reachable(key.address) && len(people.Install) == 0 && !w.written("people.install") {
			w.wrong(key.path, w.at(key.path), "other devices reach this address, and nobody may install, so nobody could set the first password", `name somebody, as install = "anna" under [people]`)
		}
	}
	for _, name := range people.Use {
		if slices.Contains(people.Install, name) {
			w.wrong("people.use", w.at("people.use"), strconv.Quote(name)+" may install already, and so use", "take the name out of one of the two")
		}
	}
	w.checkPorts([]listener{{"daemon.listen", w.site.Listen}, {"daemon.metrics_listen", w.site.MetricsListen}, {"network.listen", n.Listen}})
}

// reachable tells whether other devices reach an address.
func reachable(address string) bool {
	a, err := netip.ParseAddrPort(address)
	return err == nil && !a.Addr().Unmap().IsLoopback()
}

type listener struct{ path, address string }

// checkPorts finds two listeners that would be in each other's way. An address
// that stands for all of them takes the port of all.
func (w *walker) checkPorts(all []listener) {
	for i, l := range all {
		later, err := netip.ParseAddrPort(l.address)
		if err != nil || later.Port() == 0 {
			continue
		}
		for _, before := range all[:i] {
			first, err := netip.ParseAddrPort(before.address)
			if err != nil || first.Port() != later.Port() {
				continue
			}
			if first.Addr() == later.Addr() || first.Addr().IsUnspecified() || later.Addr().IsUnspecified() {
				w.wrong(l.path, w.where(l.path), "port "+strconv.Itoa(int(later.Port()))+" is taken by "+before.path+" already", "take another port for one of them")
			}
		}
	}
}
