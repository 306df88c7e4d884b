package door

import (
	"context"
	"crypto/tls"
	"net"
	"net/http"
	"net/netip"
	"sync"
)

// crowd is a listener that bounds the connections that are open at one time, in
// all and by address. When a bound is met the one that has been without a request
// under way for longest goes; when all are being served, the newcomer does. So
// connections that only hold their place push out each other, never those who
// watch, and who comes with a whole request gets in.
type crowd struct {
	net.Listener
	most, mostEach int // mostEach is not asked of callers on the board itself
	refused        *Refused

	mu     sync.Mutex
	turn   uint64
	guests map[*guest]struct{}
	each   map[netip.Prefix]int
}

func newCrowd(l net.Listener, most, mostEach int, refused *Refused) *crowd {
	return &crowd{Listener: l, most: most, mostEach: mostEach, refused: refused, guests: map[*guest]struct{}{}, each: map[netip.Prefix]int{}}
}

// guest is one connection.
type guest struct {
	net.Conn
	crowd *crowd
	from  netip.Prefix

	// The crowd's lock guards these.
	inside bool
	served int    // requests under way: 0 or 1
	idle   uint64 // the turn in which the last one ended, or the connection came
}

// Accept gives the next connection that gets a place.
func (c *crowd) Accept() (net.Conn, error) {
	for {
		conn, err := c.Listener.Accept()
		if err != nil {
			return nil, err
		}
		g := &guest{Conn: conn, crowd: c, from: neighbour(conn.RemoteAddr().String())}
		leaves, ok := c.enter(g)
		if leaves != nil || !ok {
			c.refused.add(noPlace)
		}
		if leaves != nil {
			leaves.Conn.Close()
		}
		if ok {
			return g, nil
		}
		conn.Close() // at once, so that its caller learns of it instead of waiting
	}
}

// enter gives a guest a place, if need be that of another one, who leaves.
func (c *crowd) enter(g *guest) (leaves *guest, ok bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	switch {
	case !g.from.Addr().IsLoopback() && c.each[g.from] >= c.mostEach:
		leaves = c.mostSilent(func(other *guest) bool { return other.from == g.from })
	case len(c.guests) >= c.most:
		leaves = c.mostSilent(func(*guest) bool { return true })
	default:
		c.place(g)
		return nil, true
	}
	if leaves == nil {
		return nil, false
	}
	c.remove(leaves)
	c.place(g)
	return leaves, true
}

func (c *crowd) place(g *guest) {
	c.turn++
	g.inside, g.idle = true, c.turn
	c.guests[g] = struct{}{}
	c.each[g.from]++
}

func (c *crowd) remove(g *guest) {
	if !g.inside {
		return
	}
	g.inside = false
	delete(c.guests, g)
	if c.each[g.from]--; c.each[g.from] == 0 {
		delete(c.each, g.from)
	}
}

// mostSilent is the guest without a request for longest, among those who fit.
func (c *crowd) mostSilent(fits func(*guest) bool) (silent *guest) {
	for g := range c.guests {
		if g.served == 0 && fits(g) && (silent == nil || g.idle < silent.idle) {
			silent = g
		}
	}
	return silent
}

// Close closes the connection and frees its place.
func (g *guest) Close() error {
	err := g.Conn.Close()
	g.crowd.mu.Lock()
	defer g.crowd.mu.Unlock()
	g.crowd.remove(g)
	return err
}

func (g *guest) begin() {
	g.crowd.mu.Lock()
	defer g.crowd.mu.Unlock()
	g.served++
}

func (g *guest) end() {
	g.crowd.mu.Lock()
	defer g.crowd.mu.Unlock()
	g.served--
	g.crowd.turn++
	g.idle = g.crowd.turn
}

type guestKey struct{}

// withGuest makes the connection known to its requests.
func withGuest(ctx context.Context, conn net.Conn) context.Context {
	if encrypted, is := conn.(*tls.Conn); is {
		conn = encrypted.NetConn()
	}
	return context.WithValue(ctx, guestKey{}, conn)
}

// serving marks the connection as one that is being served, until done.
func serving(r *http.Request) (done func()) {
	g, is := r.Context().Value(guestKey{}).(*guest)
	if !is {
		return func() {}
	}
	g.begin()
	return g.end
}
