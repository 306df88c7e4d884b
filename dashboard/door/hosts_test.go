package door

import (
	"net/netip"
	"strings"
	"testing"
)

// FuzzHosts: whatever stands in Host, on loopback nothing but loopback addresses,
// localhost and the board's own names is meant for this board.
func FuzzHosts(f *testing.F) {
	for _, seed := range []string{"localhost", "127.0.0.1:8017", "[::1]:1", "[", "boiler.example.", "::1%lo:1", "rebound.example", "[boiler.example]:1"} {
		f.Add(seed)
	}
	own := hosts{names: []string{"boiler.example"}}
	f.Fuzz(func(t *testing.T, host string) {
		if !own.meant(host) {
			return
		}
		name := strings.ToLower(bareHost(host))
		addr, err := netip.ParseAddr(name)
		if strings.EqualFold(name, "localhost") || strings.EqualFold(name, "boiler.example") || err == nil && addr.Unmap().IsLoopback() {
			return
		}
		t.Errorf("%q is taken", host)
	})
}
