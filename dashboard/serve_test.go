package dashboard

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestListenTakesLoopbackAlone(t *testing.T) {
	for _, address := range []string{"0.0.0.0:0", ":0", "[::]:0", "192.0.2.1:0", "example.com:0", "8017", "127.0.0.1"} {
		l, err := Listen(address)
		if err == nil {
			l.Close()
			t.Errorf("%q: listens", address)
		} else if !strings.Contains(err.Error(), "127.0.0.1:8017") {
			t.Errorf("%q: the error does not say what to write: %v", address, err)
		}
	}
	for _, address := range []string{"127.0.0.1:0", "localhost:0"} {
		l, err := Listen(address)
		if err != nil {
			t.Errorf("%q: %v", address, err)
			continue
		}
		l.Close()
	}
}

// pipes is a listener of in-memory connections on a loopback address.
type pipes struct {
	conns chan net.Conn
	done  chan struct{}
	addr  string
}

func newPipes(addr string) *pipes {
	return &pipes{make(chan net.Conn), make(chan struct{}), addr}
}

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.done:
		return nil, net.ErrClosed
	}
}
func (p *pipes) Close() error {
	select {
	case <-p.done:
	default:
		close(p.done)
	}
	return nil
}
func (p *pipes) Addr() net.Addr { return pipeAddr(p.addr) }

func (p *pipes) dial() net.Conn {
	here, there := net.Pipe()
	p.conns <- there
	return here
}

type pipeAddr string

func (pipeAddr) Network() string  { return "tcp" }
func (a pipeAddr) String() string { return string(a) }

func TestServeRefusesAForeignListener(t *testing.T) {
	err := Serve(t.Context(), newPipes("192.0.2.1:80"), New(Options{}))
	if err == nil || !strings.Contains(err.Error(), "SSH tunnel") {
		t.Errorf("%v", err)
	}
}

// serving runs Serve on pipes inside a synctest bubble; end ends it and gives
// its error.
func serving(t *testing.T, d *Dashboard) (p *pipes, end func() error) {
	p = newPipes("127.0.0.1:8017")
	ctx, cancel := context.WithCancel(t.Context())
	result := make(chan error, 1)
	go func() { result <- Serve(ctx, p, d) }()
	return p, func() error { cancel(); return <-result }
}

const askEvents = "GET /api/events HTTP/1.1\r\nHost: localhost\r\n\r\n"

func TestServeEndsLiveViewersWithItsContext(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := watching(sunnyTick())
		p, end := serving(t, d)
		c := p.dial()
		defer c.Close()
		go io.WriteString(c, askEvents)
		answer, err := http.ReadResponse(bufio.NewReader(c), nil)
		if err != nil || answer.StatusCode != 200 || answer.Header.Get("Content-Type") != "text/event-stream" {
			t.Fatalf("%v %v", answer, err)
		}
		go io.Copy(io.Discard, answer.Body)
		time.Sleep(3 * time.Minute) // no timeout of the server ends a stream that is read
		synctest.Wait()
		if len(d.viewers) != 1 {
			t.Errorf("%d viewers after three minutes, want 1", len(d.viewers))
		}
		before := time.Now()
		if err := end(); err != nil {
			t.Error(err)
		}
		if took := time.Since(before); took > time.Second {
			t.Errorf("the end took %v with a viewer watching", took)
		}
		synctest.Wait()
	})
}

func TestViewerWhoDoesNotReadIsDropped(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := watching(sunnyTick())
		p, end := serving(t, d)
		c := p.dial()
		defer c.Close()
		go io.WriteString(c, askEvents) // and never read
		time.Sleep(time.Second)
		synctest.Wait()
		if len(d.viewers) != 1 {
			t.Fatalf("%d viewers, want 1", len(d.viewers))
		}
		time.Sleep(eventTimeout)
		synctest.Wait()
		if len(d.viewers) != 0 {
			t.Errorf("%d viewers who do not read are still held", len(d.viewers))
		}
		if err := end(); err != nil {
			t.Error(err)
		}
	})
}

func TestSlowHeadersAreCutOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		p, end := serving(t, New(Options{}))
		c := p.dial()
		defer c.Close()
		go io.WriteString(c, "GET / HTTP/1.1\r\nHost: ")
		before := time.Now()
		io.Copy(io.Discard, c)
		if took := time.Since(before); took > headerTimeout+time.Second {
			t.Errorf("cut off after %v", took)
		}
		if err := end(); err != nil {
			t.Error(err)
		}
	})
}

func TestConnectionsAreBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		inner := newPipes("127.0.0.1:8017")
		l := bound(inner, 2)
		accepted := make(chan net.Conn, 4)
		go func() {
			for {
				c, err := l.Accept()
				if errors.Is(err, net.ErrClosed) {
					return
				}
				accepted <- c
			}
		}()
		inner.dial()
		inner.dial()
		synctest.Wait()
		surplus := inner.dial()
		if _, err := surplus.Read(make([]byte, 1)); err != io.EOF {
			t.Errorf("a surplus connection: %v", err)
		}
		first := <-accepted
		first.Close()
		first.Close() // a second close must not free a second place
		inner.dial()
		synctest.Wait()
		if len(accepted) != 2 {
			t.Errorf("%d connections after one left and one came, want 2", len(accepted))
		}
		if _, err := inner.dial().Read(make([]byte, 1)); err != io.EOF {
			t.Errorf("closing twice made room for one too many: %v", err)
		}
		l.Close()
	})
}
