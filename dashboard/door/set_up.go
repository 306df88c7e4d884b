package door

import (
	"crypto/rand"
	"crypto/sha256"
	"crypto/subtle"
	"crypto/tls"
	_ "embed"
	"errors"
	"fmt"
	"html"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// codeLasts is how long a set-up code can be used.
const codeLasts = 24 * time.Hour

// setup is the time in which nobody has a password yet.
type setup struct {
	door        *Door
	certificate *tls.Certificate
	codeSum     [sha256.Size]byte
	ends        time.Time
	used        bool // guarded by the door's lock
}

// beginSetup makes a certificate and a code, and says the code once.
func (d *Door) beginSetup(e *Entrance) error {
	if d.settingUp() != nil {
		return nil // another entrance has begun it
	}
	if len(d.installers()) == 0 {
		return errors.New(`nobody may install, so nobody can set a first password; name somebody in the site file, as [people] install = "anna"`)
	}
	certificate, err := ownCertificate(filepath.Dir(d.o.WebFile), e.hosts.names)
	if err != nil {
		return err
	}
	code := newCode()
	s := &setup{door: d, certificate: certificate, codeSum: sha256.Sum256([]byte(bareCode(code))), ends: d.o.Now().Add(codeLasts)}
	d.mu.Lock()
	d.setup = s
	d.mu.Unlock()
	d.o.Log.Warn("nobody has a password yet: open the page, compare the certificate, and set the first one with this code, which is shown only here",
		"page", e.URL(), "code", code, "for", strings.Join(d.installers(), ", "), "certificate_sha256", Fingerprint(certificate.Certificate[0]))
	return nil
}

// installers are the names that may install.
func (d *Door) installers() (names []string) {
	for name, role := range d.o.Roles {
		if role.May(Install) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	return names
}

// codeLetters can't be mistaken for each other: no I, L, O and U.
const codeLetters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"

// newCode makes a code of 20 letters with 5 random bits each.
func newCode() string {
	var random [20]byte
	rand.Read(random[:]) // never fails
	var code strings.Builder
	for i, b := range random {
		if i > 0 && i%5 == 0 {
			code.WriteByte('-')
		}
		code.WriteByte(codeLetters[b%32])
	}
	return code.String()
}

// bareCode is a code as it was meant, however it was typed.
func bareCode(typed string) string {
	return strings.NewReplacer("-", "", " ", "", "O", "0", "I", "1", "L", "1").Replace(strings.ToUpper(typed))
}

//go:embed set_up.html
var setupHTML string

//go:embed set_up.css
var setupCSS string

// setupPolicy lets the set-up page send its form, and no script run.
const setupPolicy = "default-src 'none'; style-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// ServeHTTP serves the set-up page, and nothing else.
func (s *setup) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Security-Policy", setupPolicy)
	h.Set("Cache-Control", "no-store")
	h.Set("Referrer-Policy", "same-origin") // with no-referrer a browser would not say where the form comes from
	reading := r.Method == http.MethodGet || r.Method == http.MethodHead
	switch {
	case r.URL.Path == "/set-up" && r.Method == http.MethodPost:
		s.answerForm(w, r)
	case r.URL.Path == "/set-up" && reading:
		s.show(w, r, nil)
	case r.URL.Path == "/set-up.css" && reading:
		h.Set("Content-Type", "text/css; charset=utf-8")
		fmt.Fprint(w, setupCSS)
	case r.URL.Path == "/" && reading:
		http.Redirect(w, r, "/set-up", http.StatusSeeOther)
	default:
		s.door.o.Refuse(w, r, http.StatusServiceUnavailable, "Nobody has a password yet. Open /set-up in a browser and set the first one, with the code from the program's log.")
	}
}

// show writes the page, in the language that the browser asks for, with what stands
// in the way when err is not nil.
func (s *setup) show(w http.ResponseWriter, r *http.Request, err error) {
	t, status := setupTextsFor(r), http.StatusOK
	own := func(text string) string {
		return html.EscapeString(strings.NewReplacer("{house}", s.door.o.House, "{names}", strings.Join(s.door.installers(), ", ")).Replace(text))
	}
	trouble := ""
	if err != nil {
		status, trouble = statusOf(err), `<p role="alert">`+own(t.words(err))+`</p>`
	}
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Content-Language", t.language)
	h.Set("Vary", "Accept-Language")
	w.WriteHeader(status)
	strings.NewReplacer(
		"{language}", t.language, "{house}", own("{house}"), "{title}", own(t.title), "{what}", own(t.what), "{compare}", own(t.compare),
		"{trouble}", trouble, "{name}", own(t.name), "{code}", own(t.code), "{password}", own(t.password), "{again}", own(t.again),
		"{send}", own(t.send), "{afterwards}", own(t.afterwards),
	).WriteString(w, setupHTML) // a browser that is gone misses nothing
}

func (s *setup) answerForm(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		s.show(w, r, formUnread)
		return
	}
	f := r.PostForm
	err := s.finish(f.Get("name"), f.Get("code"), f.Get("password"), f.Get("again"), r)
	if err == nil {
		http.Redirect(w, r, "/", http.StatusSeeOther) // which asks for the password
		return
	}
	if statusOf(err) == http.StatusInternalServerError {
		s.door.o.Log.Error("the first password can't be kept", "error", err)
	}
	s.show(w, r, err)
}

// finish sets the first password, when all is as it should be.
func (s *setup) finish(name, code, password, again string, r *http.Request) error {
	d := s.door
	if err := s.checkCode(code, r); err != nil {
		return err
	}
	if !slices.Contains(d.installers(), name) {
		return noInstaller
	}
	if password != again {
		return twoPasswords
	}
	hash, err := d.keeper.hash(name, password)
	if err != nil {
		return err
	}
	d.mu.Lock()
	defer d.mu.Unlock()
	if s.used {
		return setAlready
	}
	if err := s.keep(name, hash); err != nil {
		return err
	}
	s.used, d.setup = true, nil
	d.keeper.lookNow()
	d.o.Log.Info("the first password is set, and the set-up code is gone", "name", name, "file", d.o.WebFile)
	return nil
}

// checkCode bounds tries as those of passwords are.
func (s *setup) checkCode(code string, r *http.Request) error {
	k, now, from := s.door.keeper, s.door.o.Now(), neighbour(r.RemoteAddr)
	if k.tries.takeOwn(from, now) > 0 || k.tries.takeShared(now) > 0 {
		return tooManyCodes
	}
	sum := sha256.Sum256([]byte(bareCode(code)))
	if subtle.ConstantTimeCompare(sum[:], s.codeSum[:]) != 1 {
		return wrongCode
	}
	if !now.Before(s.ends) {
		return oldCode
	}
	k.tries.giveBackOwn(from, now)
	k.tries.giveBackShared()
	return nil
}

// keep writes the web configuration. One that has come in the meantime is left
// as it is.
func (s *setup) keep(name, hash string) error {
	path := s.door.o.WebFile
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("there is something at %s by now; start the program anew", path)
	}
	return writePrivate(path, []byte("# Who comes in over the network: the exporters' web configuration. The site file\n"+
		"# says who may do what. \"sunstoker password NAME\" makes further lines.\n"+
		"tls_server_config:\n  cert_file: "+certificateFile+"\n  key_file: "+keyFile+"\n"+
		"basic_auth_users:\n"+Line(name, hash)))
}
