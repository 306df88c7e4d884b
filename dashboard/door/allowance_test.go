package door

import (
	"fmt"
	"net/netip"
	"testing"
	"time"
)

func TestAllowanceIsThereAtOnceAndComesBack(t *testing.T) {
	a := allowance{atOnce: 3, every: 10 * time.Second}
	now := time.Unix(0, 0)
	var account time.Time
	for i := range 3 {
		if wait := a.take(&account, now); wait != 0 {
			t.Errorf("take %d: wait %v", i+1, wait)
		}
	}
	if wait := a.take(&account, now); wait != 10*time.Second {
		t.Errorf("one more: wait %v", wait)
	}
	if wait := a.take(&account, now.Add(4*time.Second)); wait != 6*time.Second {
		t.Errorf("later: wait %v", wait)
	}
	if wait := a.take(&account, now.Add(10*time.Second)); wait != 0 {
		t.Errorf("after the wait: %v", wait)
	}
	a.giveBack(&account)
	if wait := a.take(&account, now.Add(10*time.Second)); wait != 0 {
		t.Errorf("what was given back is not there: %v", wait)
	}
	for i := range 3 { // however long nothing was taken
		if wait := a.take(&account, now.Add(time.Hour)); wait != 0 {
			t.Errorf("take %d after an hour: %v", i+1, wait)
		}
	}
	if wait := a.take(&account, now.Add(time.Hour)); wait == 0 {
		t.Error("an hour has saved up more than there is at once")
	}
}

func TestAddressesThatAreRememberedAreBounded(t *testing.T) {
	var tries tries
	now := time.Unix(0, 0)
	take := func(i int) time.Duration {
		return tries.takeOwn(neighbour(fmt.Sprintf("10.0.%d.%d:1", i/256, i%256)), now)
	}
	for i := range mostAddresses {
		if take(i) != 0 {
			t.Fatal("the first try of an address has to wait")
		}
	}
	for range triesByAddress.atOnce {
		take(mostAddresses)
	}
	if take(mostAddresses+1) == 0 || len(tries.byAddress) > mostAddresses {
		t.Errorf("beyond the bound every address has tries of its own; %d are remembered", len(tries.byAddress))
	}
	if now = now.Add(triesByAddress.every); take(mostAddresses+1) != 0 || len(tries.byAddress) > 2 {
		t.Errorf("whoever has all tries again is remembered still: %d", len(tries.byAddress))
	}
}

func TestNeighbours(t *testing.T) {
	for address, want := range map[string]string{
		"192.0.2.77:5000": "192.0.2.77/32", "[::ffff:192.0.2.77]:1": "192.0.2.77/32",
		"[2001:db8:1:2:3:4:5:6]:80": "2001:db8:1:2::/64", "[fe80::1%eth0]:80": "fe80::/64",
		"[::1]:9": "::/64", "pipe": "invalid Prefix", "": "invalid Prefix",
	} {
		if got := neighbour(address).String(); got != want {
			t.Errorf("%q: %s, want %s", address, got, want)
		}
	}
	if (netip.Prefix{}) != neighbour("pipe") {
		t.Error("what can't be read is not one caller")
	}
}
