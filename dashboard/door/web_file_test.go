package door

import (
	"crypto/tls"
	"log/slog"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	exporters "github.com/prometheus/exporter-toolkit/web"
)

// theirs is the exporters' own reading of a web configuration
// (github.com/prometheus/exporter-toolkit), which the tests hold ours against.
var theirs = exporters.Validate

func TestBadWebConfigurations(t *testing.T) {
	hash := hashes()["anna"]
	cheap := "$2a$04$" + strings.Repeat("x", 53)
	dear := "$2a$14$" + strings.Repeat("x", 53)
	for what, c := range map[string]struct {
		text, words string
		theirsToo   bool // they refuse it as well
	}{
		"no YAML":             {"basic_auth_users: [", "can't be read", true},
		"an unknown key":      {"basic_auth_user: {}", "basic_auth_users", true},
		"a list of users":     {"basic_auth_users: [anna]", "can't be read", true},
		"a name twice":        {users("anna") + users("anna"), "can't be read", true},
		"a clear password":    {"basic_auth_users: {anna: secret}", `"anna" is no bcrypt hash`, true},
		"a cheap hash":        {"basic_auth_users: {anna: " + cheap + "}", "cost 4; 10 to 12", false},
		"a dear hash":         {"basic_auth_users: {anna: " + dear + "}", "cost 14; 10 to 12", false},
		"an empty name":       {"basic_auth_users: {'': " + hash + "}", "no name", false},
		"a key alone":         {"tls_server_config: {key_file: k}", "no certificate to it", true},
		"a certificate alone": {"tls_server_config: {cert_file: c}", "no key to it", true},
		"no such file":        {"tls_server_config: {cert_file: c, key_file: k}", "no such file", true},
		"no PEM":              {"tls_server_config: {cert: c, key: k}", "must be PEM", true},
		"both at once":        {"tls_server_config: {cert: c, cert_file: c, key: k}", "stands twice", true},
		"an old TLS":          {"tls_server_config: {min_version: TLS10}", "TLS12 or TLS13", false},
		"no TLS 1.3":          {"tls_server_config: {max_version: TLS12}", "take it out", false},
		"callers' keys":       {"tls_server_config: {client_auth_type: RequireAnyClientCert}", "does not do client_auth_type", true},
		"headers":             {"http_server_config: {headers: {X-Frame-Options: deny}}", "does not do headers", false},
		"HTTP/2":              {"http_server_config: {http2: true}", "HTTP/1.1 alone", false},
		"a rate":              {"rate_limit: {burst: 1, interval: 1s}", "does not do rate_limit", false},
	} {
		file := filepath.Join(t.TempDir(), "web.yml")
		if err := os.WriteFile(file, []byte(c.text), 0o600); err != nil {
			t.Fatal(err)
		}
		_, err := readWeb(file)
		if err == nil || !strings.Contains(err.Error(), c.words) || !strings.Contains(err.Error(), file) {
			t.Errorf("%s: %v", what, err)
		}
		if err != nil && (strings.Contains(err.Error(), "secret") || strings.Contains(err.Error(), hash[:9])) {
			t.Errorf("%s: the error holds a secret: %v", what, err)
		}
		if refused := theirs(file) != nil; refused != c.theirsToo {
			t.Errorf("%s: the exporters' own reading refuses it: %v", what, refused)
		}
	}
}

func TestASecretInTheWrongPlaceIsNotQuoted(t *testing.T) {
	for _, text := range []string{"basic_auth_users: hunter", "tls_server_config: hunter2", "http_server_config: {http2: hunter}", "- hunter"} {
		if _, err := parseWeb([]byte(text), "/web.yml"); err == nil || strings.Contains(err.Error(), "hunter") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func TestFilesOfOtherAccountsAreRefused(t *testing.T) {
	for mode, good := range map[os.FileMode]bool{0o600: true, 0o640: true, 0o440: true, 0o644: false, 0o604: false, 0o660: false, 0o620: false, 0o602: false, 0o777: false} {
		h := newHouse(t, "", nil)
		h.encrypted(t, users("anna"))
		for _, name := range []string{h.file, filepath.Join(filepath.Dir(h.file), keyFile)} {
			if err := os.Chmod(name, mode); err != nil {
				t.Fatal(err)
			}
			_, err := readWeb(h.file)
			if (err == nil) != good || err != nil && !strings.Contains(err.Error(), "chmod 0640 "+name) {
				t.Errorf("%s with mode %o: %v", filepath.Base(name), mode, err)
			}
			if err := os.Chmod(name, 0o600); err != nil {
				t.Fatal(err)
			}
		}
	}
}

func TestALargeFileIsNoWebConfiguration(t *testing.T) {
	h := newHouse(t, strings.Repeat("# comment\n", mostWebFile/10+1), nil)
	if _, err := readWeb(h.file); err == nil || !strings.Contains(err.Error(), "larger") {
		t.Errorf("%v", err)
	}
}

// TestTheExportersTakeWhatTheSetUpWrites: with the file that the set-up has
// written, the exporters' own server lets in whoever we do.
func TestTheExportersTakeWhatTheSetUpWrites(t *testing.T) {
	h := newHouse(t, "", nil)
	if _, err := h.EntranceOn(newStreet(outside)); err != nil {
		t.Fatal(err)
	}
	hash, err := Hash("anna", annasPassword)
	if err != nil {
		t.Fatal(err)
	}
	if err := h.setup.keep("anna", hash); err != nil {
		t.Fatal(err)
	}
	if err := theirs(h.file); err != nil {
		t.Fatal(err)
	}
	if _, err := readWeb(h.file); err != nil {
		t.Fatal(err)
	}
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	server := &http.Server{Handler: http.HandlerFunc(func(http.ResponseWriter, *http.Request) {})}
	defer server.Close()
	go exporters.Serve(l, server, &exporters.FlagConfig{WebConfigFile: &h.file}, slog.New(slog.DiscardHandler))
	c := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: h.trusted(t)}}}
	defer c.CloseIdleConnections()
	for password, code := range map[string]int{annasPassword: 200, familyPassword: 401} {
		if answer, _ := ask(t, c, "GET", "https://"+l.Addr().String()+"/", "anna", password, nil); answer.StatusCode != code {
			t.Errorf("password %q: %d, want %d", password, answer.StatusCode, code)
		}
	}
	if answer, _ := ask(t, c, "GET", "https://"+l.Addr().String()+"/", "", "", nil); answer.Header.Get("WWW-Authenticate") == "" {
		t.Error("no password is asked for")
	}
}

// FuzzWebFile: no text makes the reading fall over, and what is taken the
// exporters' own reading takes too.
func FuzzWebFile(f *testing.F) {
	for _, seed := range []string{"", "{}", users("anna", "family"), "tls_server_config: {min_version: TLS13, prefer_server_cipher_suites: true}", "http_server_config: {http2: false}", "basic_auth_users: {a: &x b, c: *x}", "a: &a [*a]", "null", "basic_auth_users: ~"} {
		f.Add(seed)
	}
	file := filepath.Join(f.TempDir(), "web.yml")
	f.Fuzz(func(t *testing.T, text string) {
		if _, err := parseWeb([]byte(text), "/nowhere/web.yml"); err != nil {
			return
		}
		if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if err := theirs(file); err != nil {
			t.Errorf("taken here, refused there: %v\n%q", err, text)
		}
	})
}
