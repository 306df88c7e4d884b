package door

import (
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"go.yaml.in/yaml/v2"
	"golang.org/x/crypto/bcrypt"
)

// What a web configuration may hold.
const (
	mostWebFile = 64 << 10
	mostUsers   = 64
	leastCost   = 10 // below, a stolen hash is soon guessed
	mostCost    = 12 // above, a small board computes for seconds
)

// webFile is the exporters' web configuration. What this program does not do is
// in it too, so that it can be refused with words.
type webFile struct {
	TLS struct {
		Cert       string `yaml:"cert"`
		Key        string `yaml:"key"`
		CertFile   string `yaml:"cert_file"`
		KeyFile    string `yaml:"key_file"`
		MinVersion string `yaml:"min_version"`
		MaxVersion string `yaml:"max_version"`

		ClientAuthType           any   `yaml:"client_auth_type"`
		ClientCA                 any   `yaml:"client_ca"`
		ClientCAFile             any   `yaml:"client_ca_file"`
		ClientAllowedSANs        any   `yaml:"client_allowed_sans"`
		CipherSuites             any   `yaml:"cipher_suites"`
		CurvePreferences         any   `yaml:"curve_preferences"`
		PreferServerCipherSuites *bool `yaml:"prefer_server_cipher_suites"` // without effect, as everywhere
	} `yaml:"tls_server_config"`
	HTTP struct {
		HTTP2   bool `yaml:"http2"`
		Headers any  `yaml:"headers"`
	} `yaml:"http_server_config"`
	RateLimit any               `yaml:"rate_limit"`
	Users     map[string]string `yaml:"basic_auth_users"`
}

// errNoWebFile tells that there is none yet.
var errNoWebFile = errors.New("there is no web configuration")

// web is a web configuration that was read.
type web struct {
	users       map[string][]byte // bcrypt hashes
	certificate *tls.Certificate  // nil when it has none
	leastTLS    uint16
	files       []string // that it was read from
}

// readWeb reads a web configuration, and the certificate that it names. Its
// errors hold no secrets, and say what to do.
func readWeb(path string) (*web, error) {
	text, err := readPrivate(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, errNoWebFile
	}
	if err != nil {
		return nil, err
	}
	w, err := parseWeb(text, path)
	if err != nil {
		return nil, fmt.Errorf("the web configuration %s: %w", path, err)
	}
	return w, nil
}

// parseWeb reads a web configuration's text. Paths in it are seen from its folder.
func parseWeb(text []byte, path string) (*web, error) {
	var f webFile
	if err := yaml.UnmarshalStrict(text, &f); err != nil {
		return nil, fmt.Errorf("it can't be read: %s; the exporters' web configuration has tls_server_config with cert_file and key_file, and basic_auth_users", withoutValues(err))
	}
	if err := f.refuseWhatIsNotDone(); err != nil {
		return nil, err
	}
	w := &web{users: map[string][]byte{}, files: []string{path}}
	if err := f.readUsers(w); err != nil {
		return nil, err
	}
	var err error
	if w.leastTLS, err = f.leastTLS(); err != nil {
		return nil, err
	}
	return w, f.readCertificate(w, filepath.Dir(path))
}

// quotedValue is how the YAML library quotes a value in its errors.
var quotedValue = regexp.MustCompile("`[^`]*`")

// withoutValues gives the words of an error without the values that it quotes,
// which may be hashes and keys.
func withoutValues(err error) string { return quotedValue.ReplaceAllString(err.Error(), "a value") }

func (f *webFile) refuseWhatIsNotDone() error {
	for key, value := range map[string]any{
		"client_auth_type": f.TLS.ClientAuthType, "client_ca": f.TLS.ClientCA, "client_ca_file": f.TLS.ClientCAFile,
		"client_allowed_sans": f.TLS.ClientAllowedSANs, "cipher_suites": f.TLS.CipherSuites, "curve_preferences": f.TLS.CurvePreferences,
		"headers": f.HTTP.Headers, "rate_limit": f.RateLimit,
	} {
		if value != nil {
			return fmt.Errorf("this program does not do %s; take the key out", key)
		}
	}
	if f.HTTP.HTTP2 {
		return errors.New("this program speaks HTTP/1.1 alone; take http2 out, or make it false")
	}
	return nil
}

func (f *webFile) readUsers(w *web) error {
	if len(f.Users) > mostUsers {
		return fmt.Errorf("it has %d users; this program takes %d", len(f.Users), mostUsers)
	}
	for name, hash := range f.Users {
		const make = "make a line with \"sunstoker password NAME\""
		cost, err := bcrypt.Cost([]byte(hash))
		switch {
		case name == "" || len(name) > 64:
			return errors.New("a user has no name, or one of more than 64 letters; " + make)
		case err != nil || len(hash) != 60:
			return fmt.Errorf("what stands behind the user %q is no bcrypt hash of a password; %s", name, make)
		case cost < leastCost || cost > mostCost:
			return fmt.Errorf("the password of %q is hashed at cost %d; %d to %d are taken: %s", name, cost, leastCost, mostCost, make)
		}
		w.users[name] = []byte(hash)
	}
	return nil
}

func (f *webFile) leastTLS() (uint16, error) {
	if max := f.TLS.MaxVersion; max != "" && max != "TLS13" {
		return 0, errors.New("max_version keeps callers from TLS 1.3; take it out")
	}
	switch f.TLS.MinVersion {
	case "", "TLS12":
		return tls.VersionTLS12, nil
	case "TLS13":
		return tls.VersionTLS13, nil
	}
	return 0, errors.New("min_version must be TLS12 or TLS13; write one of them, or take it out")
}

// readCertificate reads certificate and key, if any are named.
func (f *webFile) readCertificate(w *web, folder string) error {
	t := &f.TLS
	if t.Cert == "" && t.CertFile == "" && t.Key == "" && t.KeyFile == "" {
		return nil
	}
	switch {
	case t.Cert == "" && t.CertFile == "":
		return errors.New("there is a key, and no certificate to it; write cert_file under tls_server_config")
	case t.Key == "" && t.KeyFile == "":
		return errors.New("there is a certificate, and no key to it; write key_file under tls_server_config")
	case t.Cert != "" && t.CertFile != "", t.Key != "" && t.KeyFile != "":
		return errors.New("certificate or key stands twice, as text and as a file; take one of them out")
	}
	cert, key := []byte(t.Cert), []byte(t.Key)
	var err error
	if t.CertFile != "" {
		path := inFolder(folder, t.CertFile)
		w.files = append(w.files, path)
		if cert, err = readBounded(path); err != nil {
			return fmt.Errorf("the certificate can't be read: %w", err)
		}
	}
	if t.KeyFile != "" {
		path := inFolder(folder, t.KeyFile)
		w.files = append(w.files, path)
		if key, err = readPrivate(path); err != nil {
			return fmt.Errorf("the key can't be read: %w", err)
		}
	}
	pair, err := tls.X509KeyPair(cert, key)
	if err != nil {
		return fmt.Errorf("certificate and key can't be used: %w; both must be PEM, and belong to each other", err)
	}
	w.certificate = &pair
	return nil
}

func inFolder(folder, path string) string {
	if filepath.IsAbs(path) {
		return path
	}
	return filepath.Join(folder, path)
}

// readBounded reads a file that must not be large.
func readBounded(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	return readOpen(file)
}

func readOpen(file *os.File) ([]byte, error) {
	text, err := io.ReadAll(io.LimitReader(file, mostWebFile+1))
	if err == nil && len(text) > mostWebFile {
		err = fmt.Errorf("%s is larger than %d bytes; is it the right file?", file.Name(), mostWebFile)
	}
	return text, err
}

// readPrivate reads a file with secrets: one that other accounts of the board can
// read or write is refused.
func readPrivate(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return nil, err
	}
	if mode := info.Mode().Perm(); mode&0o027 != 0 {
		return nil, fmt.Errorf("%s can be read or changed by other accounts of this board (mode %04o); take that away: chmod 0640 %s", path, mode, path)
	}
	return readOpen(file)
}

// lessThan tells what a configuration has lost that others may lean on.
func (w *web) lessThan(before *web) error {
	switch {
	case len(before.users) > 0 && len(w.users) == 0:
		return errors.New("the web configuration has no users any more; put one in under basic_auth_users")
	case before.certificate != nil && w.certificate == nil:
		return errors.New("the web configuration has no certificate any more; put cert_file and key_file in under tls_server_config")
	}
	return nil
}

// names gives the users' names in order.
func (w *web) names() []string {
	var names []string
	for name := range w.users {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}
