package door

import (
	"errors"
	"io"
	"net"
	"testing"
	"testing/synctest"
	"time"
)

// full makes a crowd, and accepts what comes until the listener is closed.
func full(most, mostEach int) (s *street, accepted chan *guest) {
	s = newStreet(outside)
	c := newCrowd(s, most, mostEach, new(Refused))
	accepted = make(chan *guest, 64)
	go func() {
		for {
			g, err := c.Accept()
			if errors.Is(err, net.ErrClosed) {
				return
			}
			accepted <- g.(*guest)
		}
	}()
	return s, accepted
}

// shut tells whether the other side has closed a connection.
func shut(c net.Conn) bool {
	synctest.Wait()
	c.SetReadDeadline(time.Now().Add(time.Millisecond)) // of the bubble's time
	_, err := c.Read(make([]byte, 1))
	return err == io.EOF
}

func TestTheMostSilentConnectionGoesFirst(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, accepted := full(3, 99)
		defer s.Close()
		first, second, third := s.dial("192.0.2.1:1"), s.dial("192.0.2.2:1"), s.dial("192.0.2.3:1")
		watching, silent, last := <-accepted, <-accepted, <-accepted
		watching.begin()
		fourth := s.dial("192.0.2.4:1")
		if !shut(second) || shut(first) || shut(third) {
			t.Error("not the one that was silent for longest has gone")
		}
		last.begin()
		(<-accepted).begin()
		if fifth := s.dial("192.0.2.5:1"); !shut(fifth) {
			t.Error("a newcomer gets in though everybody is being served")
		}
		watching.end()
		sixth := s.dial("192.0.2.6:1")
		if !shut(first) || shut(sixth) || shut(fourth) {
			t.Error("whoever has ended his request does not make room")
		}
		silent.Close() // has left already; its place is not freed twice
		silent.Close()
		(<-accepted).begin()
		if seventh := s.dial("192.0.2.7:1"); !shut(seventh) {
			t.Error("a place was freed twice")
		}
		for _, c := range []net.Conn{third, fourth, sixth} {
			c.Close()
		}
		last.Close()
		synctest.Wait()
	})
}

func TestOneAddressCannotTakeAllPlaces(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, accepted := full(10, 2)
		defer s.Close()
		other := s.dial("192.0.2.9:1")
		first, second := s.dial("192.0.2.1:1"), s.dial("192.0.2.1:2")
		third := s.dial("192.0.2.1:3")
		if !shut(first) || shut(second) || shut(third) || shut(other) {
			t.Error("the address has more than two, or another one had to go")
		}
		synctest.Wait()
		for len(accepted) > 0 {
			if g := <-accepted; g.from == neighbour("192.0.2.1:1") {
				g.begin()
			}
		}
		if fourth := s.dial("192.0.2.1:4"); !shut(fourth) {
			t.Error("both are being served, and the address gets a third")
		}
		for range 5 { // who asks from the board itself shares an address with all of it
			if own := s.dial("127.0.0.1:1"); shut(own) {
				t.Error("loopback is bounded by address")
			}
		}
	})
}
