package door

import (
	"net/netip"
	"sync"
	"time"
)

// allowance lets so many things happen at once, and one more in every span.
type allowance struct {
	atOnce int
	every  time.Duration
}

// take takes one, if there is one: then the wait is 0. The account is the time at
// which all will be there again.
func (a allowance) take(account *time.Time, now time.Time) (wait time.Duration) {
	whole := *account
	if whole.Before(now) {
		whole = now
	}
	whole = whole.Add(a.every)
	if wait = whole.Sub(now) - time.Duration(a.atOnce)*a.every; wait > 0 {
		return wait
	}
	*account = whole
	return 0
}

// giveBack undoes a take.
func (a allowance) giveBack(account *time.Time) { *account = account.Add(-a.every) }

// Tries of passwords and set-up codes that may be wrong: below a hundred an hour in
// all, which is what OWASP's ASVS 4.0.3 asks for one account in its 2.2.1 (from
// memory). One address, such as a program with an old password, can't use up those
// of all.
var (
	triesByAddress = allowance{atOnce: 5, every: 5 * time.Minute}
	triesInAll     = allowance{atOnce: 15, every: time.Minute}
)

// mostAddresses bounds the addresses that are remembered; those beyond share one
// account.
const mostAddresses = 1024

// tries bounds how often somebody may be wrong. A try is taken before anything
// is looked at, and given back to who was right.
type tries struct {
	mu        sync.Mutex
	all       time.Time
	byAddress map[netip.Prefix]*time.Time
	beyond    time.Time
}

// account is that of an address. The lock is held.
func (t *tries) account(from netip.Prefix, now time.Time) *time.Time {
	if a := t.byAddress[from]; a != nil {
		return a
	}
	if len(t.byAddress) >= mostAddresses {
		for address, whole := range t.byAddress {
			if !whole.After(now) {
				delete(t.byAddress, address)
			}
		}
	}
	if len(t.byAddress) >= mostAddresses {
		return &t.beyond
	}
	if t.byAddress == nil {
		t.byAddress = map[netip.Prefix]*time.Time{}
	}
	t.byAddress[from] = new(time.Time)
	return t.byAddress[from]
}

// takeOwn takes a try of the address. A wait above 0 says that there is none yet.
func (t *tries) takeOwn(from netip.Prefix, now time.Time) (wait time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return triesByAddress.take(t.account(from, now), now)
}

// takeShared takes one of the tries that all addresses share.
func (t *tries) takeShared(now time.Time) (wait time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	return triesInAll.take(&t.all, now)
}

func (t *tries) giveBackOwn(from netip.Prefix, now time.Time) {
	t.mu.Lock()
	defer t.mu.Unlock()
	triesByAddress.giveBack(t.account(from, now))
}

func (t *tries) giveBackShared() {
	t.mu.Lock()
	defer t.mu.Unlock()
	triesInAll.giveBack(&t.all)
}

// neighbour is the part of an address that stands for one caller: all of it in
// IPv4, the network's 64 bits in IPv6, where a caller has as many addresses as
// he likes. What can't be read is one caller as well.
func neighbour(address string) netip.Prefix {
	ap, err := netip.ParseAddrPort(address)
	if err != nil {
		return netip.Prefix{}
	}
	addr, bits := ap.Addr().Unmap().WithZone(""), 64
	if addr.Is4() {
		bits = 32
	}
	p, _ := addr.Prefix(bits) // the bits fit
	return p
}
