package terminal

import (
	"bytes"
	"encoding/pem"
	"io"
	"log"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"sunstoker/dashboard/door"
)

func TestAddress(t *testing.T) {
	for text, want := range map[string]string{
		"http://127.0.0.1:8017/": "http://127.0.0.1:8017/", "localhost:8017": "http://localhost:8017/", "[::1]:8017": "http://[::1]:8017/",
		"board.local:8443": "https://board.local:8443/", "192.0.2.7:8443": "https://192.0.2.7:8443/", "https://board.local": "https://board.local/",
		"http://board.local:8017/": "over a network it begins with https://", "ftp://localhost/": "neither http://", "http://127.0.0.1:8017/api": "nothing may stand behind",
		"anna:secret@board:8443": "must hold no name", "": "no host", ":8017": "no host", "http://[": "no host",
	} {
		u, err := addressOf(text)
		if err != nil && strings.Contains(err.Error(), want) || err == nil && u.String() == want {
			continue
		}
		t.Errorf("%q: %v, %v, want %q", text, u, err, want)
	}
}

// secured is a daemon behind TLS that knows one person.
func secured(t *testing.T) (address string, certificate []byte) {
	t.Helper()
	now, err := os.ReadFile(filepath.Join("..", "testdata", "now_sunny.json"))
	if err != nil {
		t.Fatal(err)
	}
	s := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if name, password, _ := r.BasicAuth(); name != "anna" || password != "kettle meadow" {
			w.WriteHeader(http.StatusUnauthorized)
			return
		}
		w.Write(now)
	}))
	s.Config.ErrorLog = log.New(io.Discard, "", 0)
	s.StartTLS()
	t.Cleanup(s.Close)
	return s.URL, s.Certificate().Raw
}

// TestSecured: the certificate is asked for first, then name and password.
func TestSecured(t *testing.T) {
	address, certificate := secured(t)
	file := filepath.Join(t.TempDir(), "board.pem")
	if err := os.WriteFile(file, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: certificate}), 0o644); err != nil {
		t.Fatal(err)
	}
	none := filepath.Join(t.TempDir(), "none.pem")
	if err := os.WriteFile(none, []byte("nothing"), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ what, certificate, name, password, want string }{
		{"a certificate that nobody knows", "", "anna", "kettle meadow", door.Fingerprint(certificate)},
		{"a file without one", none, "", "", "holds no certificate"},
		{"no file", none + "x", "", "", "can't be read"},
		{"nobody", file, "", "", "asks for a name and a password"},
		{"a wrong password", file, "anna", "another", "refuses (401"},
		{"all is well", file, "anna", "kettle meadow", ""},
	} {
		var out bytes.Buffer
		env := map[string]string{nameKey: c.name, passwordKey: c.password}
		err := Watch(t.Context(), Options{Address: address, Certificate: c.certificate, Once: true, In: strings.NewReader(""), Out: &out, Prompt: &out, Environment: func(key string) string { return env[key] }})
		switch {
		case c.want == "" && (err != nil || !strings.Contains(out.String(), "47.8 °C at the top of the tank: hot.")):
			t.Errorf("%s: %v\n%s", c.what, err, out.String())
		case c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)):
			t.Errorf("%s: %v, want %q", c.what, err, c.want)
		case err != nil && c.password != "" && strings.Contains(err.Error(), c.password):
			t.Errorf("%s: the error holds the password: %v", c.what, err)
		}
	}
}

// TestWrongWayOfAsking: http where TLS is spoken, and the other way round.
func TestWrongWayOfAsking(t *testing.T) {
	address, _ := secured(t)
	clear := httptest.NewServer(http.NotFoundHandler())
	t.Cleanup(clear.Close)
	for where, want := range map[string]string{
		strings.Replace(address, "https", "http", 1):   "may want https://",
		strings.Replace(clear.URL, "http", "https", 1): "write http:// instead",
		clear.URL: "refuses (404",
	} {
		err := Watch(t.Context(), Options{Address: where, Once: true, Out: &bytes.Buffer{}, Environment: func(string) string { return "" }})
		if err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %q", where, err, want)
		}
	}
}
