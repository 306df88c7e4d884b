package dashboard

import (
	"bufio"
	"context"
	"io"
	"net"
	"net/http"
	"testing"
	"testing/synctest"
	"time"

	"sunstoker/dashboard/door"
)

// pipe is a listener of in-memory connections on a loopback address.
type pipe struct {
	conns chan net.Conn
	done  chan struct{}
}

func (p *pipe) Accept() (net.Conn, error) {
	select {
	case c := <-p.conns:
		return c, nil
	case <-p.done:
		return nil, net.ErrClosed
	}
}
func (p *pipe) Close() error {
	select {
	case <-p.done:
	default:
		close(p.done)
	}
	return nil
}
func (p *pipe) Addr() net.Addr {
	return &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8017}
}

func (p *pipe) dial() net.Conn {
	here, there := net.Pipe()
	p.conns <- there
	return here
}

// serving serves a dashboard behind a door inside a synctest bubble; end ends it
// and gives its error.
func serving(t *testing.T, d *Dashboard) (p *pipe, end func() error) {
	p = &pipe{make(chan net.Conn), make(chan struct{})}
	entrance, err := door.New(door.Options{Refuse: Refuse}).EntranceOn(p)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	result := make(chan error, 1)
	go func() { result <- entrance.Serve(ctx, d) }()
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
