package door

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"os"
	"sync"
	"time"
)

// Options are what a door is told.
type Options struct {
	House     string           // the site's name, for the set-up page
	WebFile   string           // absolute path of the web configuration; it need not exist
	Roles     map[string]Role  // of names that may more than see
	Local     Role             // of whoever asks on loopback without a password; See when Nobody
	HostNames []string         // of the board, beside its own and localhost
	Log       *slog.Logger     // silent when nil
	Refuse    Refusal          // plain text when nil
	Now       func() time.Time // time.Now when nil
	Refused   *Refused         // counts what is refused; its own when nil
}

// Door decides who comes in. Its entrances share what it knows.
type Door struct {
	o      Options
	keeper *keeper
	wrong  wrongTold

	mu    sync.Mutex
	setup *setup // while nobody has a password
}

// New makes a door. It opens nothing and reads nothing yet.
func New(o Options) *Door {
	if o.Now == nil {
		o.Now = time.Now
	}
	if o.Local == Nobody {
		o.Local = See
	}
	if o.Log == nil {
		o.Log = slog.New(slog.DiscardHandler)
	}
	if o.Refused == nil {
		o.Refused = new(Refused)
	}
	if o.Refuse == nil {
		o.Refuse = func(w http.ResponseWriter, _ *http.Request, status int, words string) { http.Error(w, words, status) }
	}
	return &Door{o: o, keeper: newKeeper(o.WebFile, o.Now, o.Log)}
}

// Entrance is one listener of a door.
type Entrance struct {
	door     *Door
	listener net.Listener
	network  bool // reached from elsewhere: encryption and passwords
	hosts    hosts
}

// Listen opens an entrance at an address and port, such as "127.0.0.1:8017" or
// "0.0.0.0:8443". On an address that is not loopback it needs a web
// configuration with a certificate and users; where there is none at all, it
// begins the set-up.
func (d *Door) Listen(address string) (*Entrance, error) {
	if host, _, err := net.SplitHostPort(address); err != nil || host == "" {
		return nil, fmt.Errorf("%q is no address with a port; write for example 127.0.0.1:8017", address)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("can't listen on %s: %w; see whether another program listens there already", address, err)
	}
	e, err := d.EntranceOn(l)
	if err != nil {
		return nil, errors.Join(err, l.Close())
	}
	return e, nil
}

// ListenOnBoard opens an entrance that the board alone reaches.
func (d *Door) ListenOnBoard(address string) (*Entrance, error) {
	host, _, err := net.SplitHostPort(address)
	if err == nil && !(hosts{}).meant(host) {
		return nil, notOnBoard(address)
	}
	e, err := d.Listen(address)
	if err == nil && e.network { // "localhost" may be made to name something else
		return nil, errors.Join(notOnBoard(e.Addr().String()), e.Close())
	}
	return e, err
}

func notOnBoard(address string) error {
	return fmt.Errorf("will not listen on %s, which other devices reach; write 127.0.0.1:8017, or another address of the board itself", address)
}

// OnBoard is what an entrance on loopback is to a handler behind it, without a
// listener.
func (d *Door) OnBoard(next http.Handler) http.Handler {
	return (&Entrance{door: d, hosts: hosts{names: d.o.HostNames}}).handler(next)
}

// EntranceOn makes an entrance of a listener. The listener's own address says
// what it is, not the words that were resolved to it.
func (d *Door) EntranceOn(l net.Listener) (*Entrance, error) {
	e := &Entrance{door: d, listener: l, network: !onLoopback(l.Addr()), hosts: hosts{names: d.o.HostNames}}
	if !e.network {
		return e, nil
	}
	e.hosts.network = true
	if name, err := os.Hostname(); err == nil {
		e.hosts.names = append([]string{name, name + ".local"}, e.hosts.names...)
	}
	return e, d.readyForNetwork(e)
}

func onLoopback(a net.Addr) bool {
	addr, err := netip.ParseAddrPort(a.String())
	return err == nil && addr.Addr().Unmap().IsLoopback()
}

// readyForNetwork sees that nobody can come in from the network without having
// shown who he is.
func (d *Door) readyForNetwork(e *Entrance) error {
	n, err := d.keeper.known()
	switch {
	case errors.Is(err, errNoWebFile):
		return d.beginSetup(e)
	case err != nil:
		return err
	case n.certificate == nil:
		return fmt.Errorf("the web configuration %s has no certificate, and passwords must not go over a network in clear; "+
			"write cert_file and key_file under tls_server_config", d.o.WebFile)
	case len(n.users) == 0:
		return fmt.Errorf("the web configuration %s has no users; make a line with \"sunstoker password NAME\" and put it under basic_auth_users", d.o.WebFile)
	}
	for name, role := range d.o.Roles {
		if _, has := n.users[name]; !has {
			d.o.Log.Warn("somebody whom the site file names has no password yet", "name", name, "may", role.String(), "file", d.o.WebFile)
		}
	}
	return nil
}

// Addr is where the entrance listens.
func (e *Entrance) Addr() net.Addr { return e.listener.Addr() }

// URL is the entrance's address for a browser.
func (e *Entrance) URL() string {
	scheme := "http"
	if e.network {
		scheme = "https"
	}
	where := e.listener.Addr().String()
	if addr, err := netip.ParseAddrPort(where); err == nil && addr.Addr().IsUnspecified() {
		if name, err := os.Hostname(); err == nil { // all addresses of the board are none that a browser could call
			where = net.JoinHostPort(name, fmt.Sprint(addr.Port()))
		}
	}
	return scheme + "://" + where + "/"
}

// Close shuts an entrance that is not served.
func (e *Entrance) Close() error { return e.listener.Close() }

// tlsConfig gives callers the newest certificate.
func (d *Door) tlsConfig() *tls.Config {
	protocols := []string{"http/1.1"}
	return &tls.Config{
		MinVersion: tls.VersionTLS12,
		NextProtos: protocols,
		GetConfigForClient: func(*tls.ClientHelloInfo) (*tls.Config, error) {
			n, err := d.keeper.known()
			if err == nil && n.certificate != nil {
				return &tls.Config{MinVersion: n.leastTLS, NextProtos: protocols, Certificates: []tls.Certificate{*n.certificate}}, nil
			}
			if s := d.settingUp(); s != nil {
				return &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: protocols, Certificates: []tls.Certificate{*s.certificate}}, nil
			}
			return nil, errNoCertificate
		},
	}
}

var errNoCertificate = errors.New("there is no certificate to show")

// settingUp gives the set-up that is under way, if any. It ends as well when
// somebody has put a web configuration in by hand.
func (d *Door) settingUp() *setup {
	n, err := d.keeper.known()
	d.mu.Lock()
	defer d.mu.Unlock()
	if err == nil && n.certificate != nil && len(n.users) > 0 {
		d.setup = nil
	}
	return d.setup
}

// who finds out who asks, and for how long that counts (nil: as long as the
// request does). When that is nobody, it has answered.
func (e *Entrance) who(w http.ResponseWriter, r *http.Request) (p Person, counts context.Context, ok bool) {
	d := e.door
	n, err := d.keeper.known()
	name, password, there := credentials(r)
	switch {
	case err == nil && there:
	case err == nil && e.network:
		e.askPassword(w, r, "Who are you? This takes a name and a password.")
		return p, nil, false
	case !e.network && (!there || errors.Is(err, errNoWebFile)):
		return Person{Name: "somebody at the board", Role: d.o.Local, unnamed: err == nil}, nil, true
	default:
		d.o.Refuse(w, r, http.StatusServiceUnavailable, "The web configuration can't be read, so nobody's password is known. The log says what is wrong.")
		return p, nil, false
	}
	from := neighbour(r.RemoteAddr)
	err = d.keeper.check(n, name, password, from)
	if wait, is := errors.AsType[errWait](err); is {
		d.o.Refused.add(tooManyTries)
		d.wrong.tell(d, n, name, from)
		w.Header().Set("Retry-After", fmt.Sprint(int(wait.Seconds())+1))
		d.o.Refuse(w, r, http.StatusTooManyRequests, "Too many wrong passwords were tried. Wait a while, then try again.")
		return p, nil, false
	}
	if err != nil {
		d.o.Refused.add(wrongPassword)
		d.wrong.tell(d, n, name, from)
		e.askPassword(w, r, "Name and password don't belong together.")
		return p, nil, false
	}
	return Person{Name: name, Role: max(See, d.o.Roles[name])}, n.counts, true
}

func (e *Entrance) askPassword(w http.ResponseWriter, r *http.Request, words string) {
	w.Header().Set("WWW-Authenticate", challenge)
	e.door.o.Refuse(w, r, http.StatusUnauthorized, words)
}

// challenge makes a browser ask for name and password.
const challenge = `Basic realm="solar water heater", charset="UTF-8"`

// wrongTold tells of wrong passwords, at most once a minute.
type wrongTold struct {
	mu    sync.Mutex
	next  time.Time
	since int
}

func (t *wrongTold) tell(d *Door, n *known, name string, from netip.Prefix) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.since++
	now := d.o.Now()
	if now.Before(t.next) {
		return
	}
	if _, is := n.users[name]; !is { // what was typed there may be a password
		name = "one that nobody has"
	}
	d.o.Log.Warn("wrong passwords were tried", "tries", t.since, "newest_from", from.String(), "newest_name", name)
	t.next, t.since = now.Add(time.Minute), 0
}
