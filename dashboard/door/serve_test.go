package door

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"testing/synctest"
	"time"
)

func TestEveryAnswerIsGuarded(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	for what, r := range map[string]*http.Request{
		"an answer":      as(request("GET", "192.0.2.1", caller), "anna", annasPassword),
		"no name":        request("GET", "192.0.2.1", caller),
		"a foreign host": request("GET", "rebound.example", caller),
	} {
		got := h.at(outside, whoAsks, r).Header()
		for header, want := range map[string]string{
			"X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer", "X-Frame-Options": "DENY",
			"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got.Get(header) != want {
				t.Errorf("%s: %s is %q", what, header, got.Get(header))
			}
		}
		policy := got.Get("Content-Security-Policy")
		for _, want := range []string{"default-src 'none'", "frame-ancestors 'none'", "base-uri 'none'", "form-action 'none'"} {
			if !strings.Contains(policy, want) || strings.Contains(policy, "unsafe") {
				t.Errorf("%s: policy %q", what, policy)
			}
		}
	}
}

func TestOnlyNamesOfTheBoardAreAnswered(t *testing.T) {
	h := newHouse(t, users("anna"), nil)
	for host, want := range map[string][2]int{ // on loopback, on the network
		"localhost:8017": {200, 200}, "LOCALHOST": {200, 200}, "127.0.0.1:8017": {200, 200}, "127.8.9.1": {200, 200}, "[::1]:8017": {200, 200}, "[::1]": {200, 200},
		"192.168.1.20:8443": {421, 200}, "[fd00::1]:8443": {421, 200}, "boiler.example": {200, 200}, "Boiler.Example.:8443": {200, 200},
		"rebound.example": {421, 421}, "rebound.example:8017": {421, 421}, "": {421, 421}, "localhost.example": {421, 421}, "127.0.0.1.example": {421, 421}, "[": {421, 421}, "boiler.example.org": {421, 421},
	} {
		if w := h.at(within, whoAsks, request("GET", host, itself)); w.Code != want[0] {
			t.Errorf("%q on loopback: %d, want %d", host, w.Code, want[0])
		}
		w := h.at(outside, whoAsks, as(request("GET", host, caller), "anna", annasPassword))
		if w.Code != want[1] {
			t.Errorf("%q on the network: %d, want %d", host, w.Code, want[1])
		}
		if w.Code == 421 && !strings.Contains(w.Body.String(), "host_names") {
			t.Errorf("%q: %q does not say what to do", host, w.Body)
		}
	}
}

func TestForeignPagesCanWriteNothing(t *testing.T) {
	h := newHouse(t, users("anna"), func(o *Options) { o.Local = Install })
	for _, method := range []string{"POST", "PUT", "PATCH", "DELETE", "BREW"} {
		for header, value := range map[string]string{"Origin": "https://foreign.example", "Sec-Fetch-Site": "cross-site"} {
			for _, where := range []string{within, outside} {
				served := false
				r := as(request(method, "localhost", caller), "anna", annasPassword)
				r.Header.Set(header, value)
				w := h.at(where, http.HandlerFunc(func(http.ResponseWriter, *http.Request) { served = true }), r)
				if served || w.Code != http.StatusForbidden {
					t.Errorf("%s with %s %s: %d, served %v", method, header, value, w.Code, served)
				}
			}
		}
		r := request(method, "localhost:8017", itself)
		r.Header.Set("Origin", "http://localhost:8017")
		if w := h.at(within, whoAsks, r); w.Code != 200 {
			t.Errorf("%s from its own page: %d", method, w.Code)
		}
	}
}

func TestBodiesAreBounded(t *testing.T) {
	h := newHouse(t, "", nil)
	put := func(method, body string, change func(*http.Request)) (int, string) {
		r := request(method, "localhost", itself)
		r.Body, r.ContentLength = io.NopCloser(strings.NewReader(body)), int64(len(body))
		if change != nil {
			change(r)
		}
		w := h.at(within, whoAsks, r)
		return w.Code, w.Body.String()
	}
	if code, said := put("PUT", strings.Repeat("x", mostBodyBytes), nil); code != 200 || !strings.Contains(said, "sent 16384, <nil>") {
		t.Errorf("the largest body: %d %q", code, said)
	}
	if code, said := put("PUT", strings.Repeat("x", mostBodyBytes+1), nil); code != 413 || !strings.Contains(said, "larger than 16384 bytes") {
		t.Errorf("a larger one: %d %q", code, said)
	}
	if code, _ := put("PUT", strings.Repeat("x", mostBodyBytes+1), func(r *http.Request) { r.ContentLength = -1 }); code != 413 {
		t.Errorf("one whose length is not told: %d", code)
	}
	for _, method := range []string{"GET", "HEAD", "DELETE", "OPTIONS"} {
		if code, _ := put(method, "hello", nil); code != 400 {
			t.Errorf("%s with a body: %d", method, code)
		}
	}
}

// serves runs a house's entrance on loopback in a synctest bubble.
func serves(t *testing.T, next http.Handler) (s *street, end func()) {
	h := newHouse(t, "", nil)
	s = newStreet(within)
	e, err := h.EntranceOn(s)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- e.Serve(ctx, next) }()
	return s, func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		synctest.Wait()
	}
}

// saidTo gives the status line that a connection is answered with, and when it was
// closed.
func saidTo(c net.Conn) (status string, took time.Duration) {
	begun := time.Now()
	text, _ := io.ReadAll(c)
	status, _, _ = strings.Cut(string(text), "\r\n")
	return status, time.Since(begun)
}

func TestSlowCallersAreCutOff(t *testing.T) {
	for what, c := range map[string]struct {
		sends  string
		status string
		within time.Duration
	}{
		"nothing at all":                  {"", "", idleTimeout},
		"half a header":                   {"GET / HTTP/1.1\r\nHost: ", "", headerTimeout},
		"half a body":                     {"PUT / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 9\r\n\r\nhalf", "HTTP/1.1 408 Request Timeout", bodyTimeout},
		"an endless body":                 {"PUT / HTTP/1.1\r\nHost: localhost\r\nTransfer-Encoding: chunked\r\n\r\n5\r\nhello\r\n", "HTTP/1.1 408 Request Timeout", bodyTimeout},
		"a body that nobody wants":        {"PUT / HTTP/1.1\r\nHost: rebound.example\r\nContent-Length: 9\r\n\r\nhalf", "HTTP/1.1 421 Misdirected Request", bodyTimeout},
		"a request, and nothing after it": {"GET / HTTP/1.1\r\nHost: localhost\r\n\r\n", "HTTP/1.1 200 OK", idleTimeout},
	} {
		synctest.Test(t, func(t *testing.T) {
			s, end := serves(t, whoAsks)
			conn := s.dial(itself)
			defer conn.Close()
			go io.WriteString(conn, c.sends)
			status, took := saidTo(conn)
			if status != c.status || took > c.within+2*time.Second {
				t.Errorf("%s: %q after %v, want %q within %v", what, status, took, c.status, c.within)
			}
			end()
		})
	}
}

func TestOversizedHeadersAreRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, end := serves(t, whoAsks)
		for what, sends := range map[string]string{
			"one header":   "GET / HTTP/1.1\r\nHost: localhost\r\nX: " + strings.Repeat("x", 2*mostHeaderBytes),
			"many headers": "GET / HTTP/1.1\r\nHost: localhost\r\n" + strings.Repeat("X: y\r\n", mostHeaderBytes),
			"a path":       "GET /" + strings.Repeat("x", 2*mostHeaderBytes),
			"a password":   "GET / HTTP/1.1\r\nHost: localhost\r\nAuthorization: Basic " + strings.Repeat("eHh4", mostHeaderBytes),
		} {
			conn := s.dial(itself)
			go io.WriteString(conn, sends)
			if status, took := saidTo(conn); !strings.HasPrefix(status, "HTTP/1.1 431 ") || took > headerTimeout {
				t.Errorf("%s: %q after %v", what, status, took)
			}
			conn.Close()
		}
		end()
	})
}

func TestOnlyOneKindOfHTTPIsSpoken(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, end := serves(t, whoAsks)
		for what, sends := range map[string]string{
			"HTTP/2 by knowledge": "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n",
			"two hosts":           "GET / HTTP/1.1\r\nHost: localhost\r\nHost: rebound.example\r\n\r\n",
			"no host":             "GET / HTTP/1.1\r\n\r\n",
			"no HTTP":             "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03\r\n\r\n",
			"two lengths":         "PUT / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\nxx",
		} {
			conn := s.dial(itself)
			go io.WriteString(conn, sends)
			if status, _ := saidTo(conn); strings.Contains(status, " 200 ") {
				t.Errorf("%s: %q", what, status)
			}
			conn.Close()
		}
		end()
	})
}

// forever streams until the caller is gone.
var forever = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
	line := http.NewResponseController(w)
	for r.Context().Err() == nil {
		_ = line.SetWriteDeadline(time.Now().Add(10 * time.Second))
		if _, err := io.WriteString(w, "event\n"); err != nil || line.Flush() != nil {
			return
		}
		select {
		case <-r.Context().Done():
		case <-time.After(time.Second):
		}
	}
})

func TestStreamsOutliveTheTimesOfRequests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, end := serves(t, forever)
		conn := s.dial(itself)
		defer conn.Close()
		go io.WriteString(conn, "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
		answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
		if err != nil {
			t.Fatal(err)
		}
		var lines int
		begun := time.Now()
		for in := bufio.NewScanner(answer.Body); in.Scan() && time.Since(begun) < 3*time.Minute; lines++ {
		}
		if lines < 170 {
			t.Errorf("%d events in three minutes", lines)
		}
		before := time.Now()
		go io.Copy(io.Discard, answer.Body)
		end()
		if took := time.Since(before); took > time.Second {
			t.Errorf("the end took %v with a viewer watching", took)
		}
	})
}

func TestSlowCallersPushOutEachOtherAndNoViewers(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s, end := serves(t, forever)
		var viewers, got int
		events := make(chan struct{}, 1000)
		for range mostConnections / 2 {
			conn := s.dial(itself)
			defer conn.Close()
			go io.WriteString(conn, "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
			answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
			if err != nil {
				t.Fatal(err)
			}
			viewers++
			go func() {
				for in := bufio.NewScanner(answer.Body); in.Scan(); {
					select {
					case events <- struct{}{}:
					default:
					}
				}
			}()
		}
		for range 500 {
			conn := s.dial(itself)
			defer conn.Close()
			go io.WriteString(conn, "GET / HTTP/1.1\r\n")
		}
		synctest.Wait()
		for len(events) > 0 {
			<-events
		}
		time.Sleep(1500 * time.Millisecond)
		synctest.Wait()
		if got = len(events); got < viewers {
			t.Errorf("%d events for %d viewers among 500 slow callers", got, viewers)
		}
		newcomer := s.dial(itself)
		go io.WriteString(newcomer, "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n")
		if answer, err := http.ReadResponse(bufio.NewReader(newcomer), nil); err != nil || answer.StatusCode != 200 {
			t.Errorf("a newcomer among them: %v", err)
		}
		newcomer.Close()
		end()
	})
}

func TestAFaultOfAHandlerIsToldAndEndsNothing(t *testing.T) {
	h := newHouse(t, "", nil)
	s := h.open(t, within, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/fault" {
			panic("a fault for the test")
		}
		fmt.Fprint(w, "well")
	}))
	c := h.browser(t, s, itself)
	if _, err := c.Get("http://localhost/fault"); err == nil {
		t.Error("a fault was answered")
	}
	if _, body := ask(t, c, "GET", "http://localhost/", "", "", nil); body != "well" {
		t.Errorf("after the fault: %q", body)
	}
	if !strings.Contains(h.said.String(), "a fault for the test") {
		t.Errorf("said %q", h.said)
	}
}

func TestWhoeverWatchesDoesSoWhileHisPasswordCounts(t *testing.T) {
	h := newHouse(t, users("anna", "family"), nil)
	h.encrypted(t, users("anna", "family"))
	s := h.open(t, outside, forever)
	r, _ := http.NewRequest("GET", "https://localhost/", nil)
	answer, err := h.browser(t, s, caller).Do(as(r, "family", familyPassword))
	if err != nil || answer.StatusCode != 200 {
		t.Fatal(answer, err)
	}
	defer answer.Body.Close()
	h.encrypted(t, users("anna"))
	h.keeper.lookNow()
	if _, err := h.keeper.known(); err != nil {
		t.Fatal(err)
	}
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		t.Errorf("the stream did not end in order: %v", err)
	}
}
