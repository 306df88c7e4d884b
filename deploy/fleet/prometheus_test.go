//go:build fleet

package fleet_test

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"encoding/pem"
	"fmt"
	"io"
	"math/big"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// start lets a program run for the length of a test, with its output in a file that a failure shows.
func start(t *testing.T, name string, stdin io.Reader, program string, arguments ...string) *exec.Cmd {
	t.Helper()
	log, err := os.Create(filepath.Join(t.TempDir(), name+".log"))
	if err != nil {
		t.Fatal(err)
	}
	c := exec.Command(program, arguments...)
	c.Stdin, c.Stdout, c.Stderr = stdin, log, log
	if err := c.Start(); err != nil {
		t.Fatalf("%s does not start: %v", name, err)
	}
	t.Cleanup(func() {
		c.Process.Signal(syscall.SIGTERM)
		hard := time.AfterFunc(10*time.Second, func() { c.Process.Kill() })
		c.Wait()
		hard.Stop()
		log.Close()
		if t.Failed() {
			text, _ := os.ReadFile(log.Name())
			t.Logf("%s said:\n%s", name, text[max(0, len(text)-4000):])
		}
	})
	return c
}

// freeAddress is one of the machine itself that nobody listens at now.
func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// until asks again until it is true, and fails with what was last seen.
func until(t *testing.T, what string, atMost time.Duration, is func() (bool, string)) {
	t.Helper()
	var seen string
	for end := time.Now().Add(atMost); time.Now().Before(end); time.Sleep(500 * time.Millisecond) {
		var done bool
		if done, seen = is(); done {
			return
		}
	}
	t.Fatalf("not within %v: %s; last seen: %s", atMost, what, seen)
}

// shipped is a file of this folder with other words in some places, each of which must be there.
func shipped(t *testing.T, name string, changes ...string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	s := string(text)
	for i := 0; i < len(changes); i += 2 {
		if !strings.Contains(s, changes[i]) {
			t.Fatalf("%s no longer holds %q", name, changes[i])
		}
		s = strings.ReplaceAll(s, changes[i], changes[i+1])
	}
	return s
}

func write(t *testing.T, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
}

// client speaks to a Prometheus as a person with a password does, or as none.
type client struct {
	base, name, password string
	http.Client
}

func (c *client) ask(method, path string, into any) error {
	ctx, cancel := context.WithTimeout(context.Background(), 10*time.Second)
	defer cancel()
	r, err := http.NewRequestWithContext(ctx, method, c.base+path, nil)
	if err != nil {
		return err
	}
	if c.name != "" {
		r.SetBasicAuth(c.name, c.password)
	}
	answer, err := c.Do(r)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		return err
	}
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("%s: %s", answer.Status, bytes.TrimSpace(body))
	}
	if text, is := into.(*string); is {
		*text = string(body)
		return nil
	}
	return json.Unmarshal(body, into)
}

// series is one answer to a query: its labels and its value now.
type series struct {
	Metric map[string]string
	Value  [2]any
}

func (c *client) query(expression string) ([]series, error) {
	var answer struct{ Data struct{ Result []series } }
	err := c.ask("GET", "/api/v1/query?query="+url.QueryEscape(expression), &answer)
	return answer.Data.Result, err
}

// certificate makes one for 127.0.0.1 and localhost, and its key, in PEM form.
func certificate(t *testing.T) (certificatePEM, keyPEM string, trusted *tls.Config) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{SerialNumber: big.NewInt(1), NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		DNSNames: []string{"localhost"}, IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true,
		KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	keyDER, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		t.Fatal(err)
	}
	certificatePEM = string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}))
	pool := x509.NewCertPool()
	pool.AppendCertsFromPEM([]byte(certificatePEM))
	return certificatePEM, string(pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: keyDER})), &tls.Config{RootCAs: pool}
}

// layServer lays the server's file and its rules into a folder, as they are shipped but for
// the time between two looks and other changes. It gives the file.
func layServer(t *testing.T, folder string, every time.Duration, houses string, changes ...string) string {
	t.Helper()
	file := filepath.Join(folder, "server.yml")
	write(t, file, shipped(t, "server.yml", append(changes, "scrape_interval: 1m", "scrape_interval: "+every.String(), "evaluation_interval: 1m", "evaluation_interval: "+every.String())...))
	write(t, filepath.Join(folder, "houses", "example.yml"), houses) // before it starts: a folder that is not there is not watched
	copyRules(t, filepath.Join(folder, "rules"))
	return file
}

// copyRules lays the rules of houses and of the fleet into a folder.
func copyRules(t *testing.T, into string, changes ...string) {
	t.Helper()
	t.Helper()
	for _, name := range []string{"../prometheus/house.rules.yml", "../prometheus/findings.rules.yml", "fleet.rules.yml"} {
		text := shipped(t, name)
		write(t, filepath.Join(into, filepath.Base(name)), strings.NewReplacer(changes...).Replace(text))
	}
}
