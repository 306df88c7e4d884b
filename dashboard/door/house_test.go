package door

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// The people of an invented house, and their passwords' hashes at cost 10.
const (
	annasPassword  = "kettle meadow winter stone"
	guestsPassword = "an unremarkable visitor"
	familyPassword = "seven blue cups on a shelf"
)

var hashes = sync.OnceValue(func() map[string]string {
	all := map[string]string{}
	for name, password := range map[string]string{"anna": annasPassword, "family": familyPassword, "guest": guestsPassword} {
		hash, err := Hash(name, password)
		if err != nil {
			panic(err)
		}
		all[name] = hash
	}
	return all
})

// quickly compares without computing, for tests that try many passwords.
func quickly(hash, password []byte) error {
	for name, right := range map[string]string{"anna": annasPassword, "family": familyPassword, "guest": guestsPassword} {
		if string(hash) == hashes()[name] && string(password) == right {
			return nil
		}
	}
	return errors.New("another one")
}

var roles = map[string]Role{"anna": Install, "family": Use}

// house is a door with what a test moves about it.
type house struct {
	*Door
	clock time.Time
	said  *bytes.Buffer
	file  string
}

// newHouse makes a door whose web configuration is the text; none when it is
// empty. The clock moves only by hand.
func newHouse(t *testing.T, text string, change func(*Options)) *house {
	t.Helper()
	h := &house{clock: time.Unix(1_800_000_000, 0), said: &bytes.Buffer{}, file: filepath.Join(t.TempDir(), "web.yml")}
	if text != "" {
		h.write(t, text)
	}
	o := Options{
		House: "House on the hill", WebFile: h.file, Roles: roles, HostNames: []string{"boiler.example"}, Refuse: plainly,
		Log: slog.New(slog.NewTextHandler(h.said, nil)), Now: func() time.Time { return h.clock },
	}
	if change != nil {
		change(&o)
	}
	h.Door = New(o)
	h.keeper.compare = quickly
	return h
}

func (h *house) write(t *testing.T, text string) {
	t.Helper()
	if err := os.WriteFile(h.file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// users is the text of a web configuration with the people of the house.
func users(names ...string) string {
	text := "basic_auth_users:\n"
	for _, name := range names {
		text += "  " + name + ": " + hashes()[name] + "\n"
	}
	return text
}

// encrypted adds a certificate to a web configuration's folder and text.
func (h *house) encrypted(t *testing.T, text string) {
	t.Helper()
	if _, err := ownCertificate(filepath.Dir(h.file), nil); err != nil {
		t.Fatal(err)
	}
	h.write(t, "tls_server_config:\n  cert_file: "+certificateFile+"\n  key_file: "+keyFile+"\n"+text)
}

// street is a listener of in-memory connections.
type street struct {
	addr  string
	conns chan net.Conn
	done  chan struct{}
	once  sync.Once
}

func newStreet(addr string) *street {
	return &street{addr: addr, conns: make(chan net.Conn), done: make(chan struct{})}
}

func (s *street) Accept() (net.Conn, error) {
	select {
	case c := <-s.conns:
		return c, nil
	case <-s.done:
		return nil, net.ErrClosed
	}
}
func (s *street) Close() error   { s.once.Do(func() { close(s.done) }); return nil }
func (s *street) Addr() net.Addr { return address(s.addr) }

type address string

func (address) Network() string  { return "tcp" }
func (a address) String() string { return string(a) }

type comesFrom struct {
	net.Conn
	from string
}

func (c comesFrom) RemoteAddr() net.Addr { return address(c.from) }

// dial comes to the house from an address.
func (s *street) dial(from string) net.Conn {
	here, there := net.Pipe()
	select {
	case s.conns <- comesFrom{there, from}:
	case <-s.done:
		here.Close()
	}
	return here
}

const (
	outside = "192.0.2.1:8443" // an address for documentation (RFC 5737), here the board's on the network
	caller  = "192.0.2.77:5000"
	within  = "127.0.0.1:8017"
	itself  = "127.0.0.1:4000"
)

// open makes an entrance on a street and serves it until the test ends.
func (h *house) open(t *testing.T, addr string, next http.Handler) *street {
	t.Helper()
	s := newStreet(addr)
	e, err := h.EntranceOn(s)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- e.Serve(ctx, next) }()
	t.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return s
}

// browser is an HTTP client that comes from an address.
func (h *house) browser(t *testing.T, s *street, from string) *http.Client {
	t.Helper()
	transport := &http.Transport{
		DialContext:     func(context.Context, string, string) (net.Conn, error) { return s.dial(from), nil },
		TLSClientConfig: &tls.Config{RootCAs: h.trusted(t), ServerName: "localhost"},
	}
	t.Cleanup(transport.CloseIdleConnections)
	return &http.Client{Transport: transport, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
}

func (h *house) trusted(t *testing.T) *x509.CertPool {
	t.Helper()
	pool := x509.NewCertPool()
	if text, err := os.ReadFile(filepath.Join(filepath.Dir(h.file), certificateFile)); err == nil && !pool.AppendCertsFromPEM(text) {
		t.Fatal("the certificate is no PEM")
	}
	return pool
}

// ask sends a request and gives its answer, whose body is read.
func ask(t *testing.T, c *http.Client, method, url, name, password string, change func(*http.Request)) (*http.Response, string) {
	t.Helper()
	r, err := http.NewRequest(method, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	if name != "" {
		r.SetBasicAuth(name, password)
	}
	if change != nil {
		change(r)
	}
	answer, err := c.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, string(body)
}

// whoAsks answers with who asks, and what he has sent.
var whoAsks = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
	body, err := io.ReadAll(r.Body)
	p := PersonOf(r)
	fmt.Fprintf(w, "%s may %v, sent %d, %v", p.Name, p.Role, len(body), err)
})

// at asks an entrance without a connection.
func (h *house) at(addr string, next http.Handler, r *http.Request) *httptest.ResponseRecorder {
	e := &Entrance{door: h.Door, network: !strings.HasPrefix(addr, "127."), hosts: hosts{names: h.o.HostNames}}
	e.hosts.network = e.network
	w := httptest.NewRecorder()
	e.handler(next).ServeHTTP(w, r)
	return w
}

func request(method, host, from string) *http.Request {
	r := httptest.NewRequest(method, "/", nil)
	r.Host, r.RemoteAddr = host, from
	return r
}

func as(r *http.Request, name, password string) *http.Request {
	r.SetBasicAuth(name, password)
	return r
}
