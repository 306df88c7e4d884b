package dashboard

import (
	"net"
	"sync"
)

// boundListener keeps at most so many connections open at one time. One too
// many is closed at once, so that its caller learns of it instead of waiting.
type boundListener struct {
	net.Listener
	places chan struct{}
}

func bound(l net.Listener, connections int) net.Listener {
	return &boundListener{l, make(chan struct{}, connections)}
}

func (b *boundListener) Accept() (net.Conn, error) {
	for {
		c, err := b.Listener.Accept()
		if err != nil {
			return nil, err
		}
		select {
		case b.places <- struct{}{}:
			return &boundConn{Conn: c, leave: sync.OnceFunc(func() { <-b.places })}, nil
		default:
			c.Close()
		}
	}
}

type boundConn struct {
	net.Conn
	leave func()
}

func (c *boundConn) Close() error {
	err := c.Conn.Close()
	c.leave()
	return err
}
