package main

import (
	"bufio"
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// networkSite lets other devices in; its probes and outputs are files
// of the test.
const networkSite = `
[network]
listen = "0.0.0.0:%[3]s"
[people]
install = "anna"
use = "family"
`

// TestTheDaemonOnTheNetwork: from the first start, through the first password, to
// a request that the controller grants, one by somebody who may not, and one on
// the board itself.
func TestTheDaemonOnTheNetwork(t *testing.T) {
	folder := t.TempDir()
	for _, name := range []string{"pump", "heater"} {
		if err := os.WriteFile(filepath.Join(folder, name), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	free, err := freeAddress()
	if err != nil {
		t.Fatal(err)
	}
	_, port, _ := strings.Cut(free, ":")
	file := filepath.Join(folder, "site.toml")
	if err := os.WriteFile(file, fmt.Appendf(nil, wholeSite+networkSite, folder, folder+"/w1", port), 0o644); err != nil {
		t.Fatal(err)
	}
	said, stderr := io.Pipe()
	ctx, end := context.WithCancel(t.Context())
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"run", "--allow-root", file}, strings.NewReader(""), io.Discard, stderr)
		stderr.Close()
	}()
	words := waitFor(t, said, `code=(\S+)`, `page=(http://\S+)`)
	code, board, network := words[0], words[1], "https://127.0.0.1:"+port

	pool := x509.NewCertPool()
	certificate, err := os.ReadFile(filepath.Join(folder, "state", "web-certificate.pem"))
	if err != nil || !pool.AppendCertsFromPEM(certificate) {
		t.Fatal(err)
	}
	c := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}}, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	ask := func(method, where, kind, body, name, password string, want int) {
		t.Helper()
		r, err := http.NewRequest(method, where, strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		if body != "" {
			r.Header.Set("Content-Type", kind)
		}
		if name != "" {
			r.SetBasicAuth(name, password)
		}
		answer, err := c.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer answer.Body.Close()
		if text, _ := io.ReadAll(answer.Body); answer.StatusCode != want {
			t.Errorf("%s %s as %q: %d, want %d: %.300s", method, where, name, answer.StatusCode, want, text)
		}
	}
	const password, holiday, asJSON = "kettle meadow winter stone", `{"length": "3 d"}`, "application/json"
	ask("GET", network+"/api/now", "", "", "", "", 503)
	form := url.Values{"name": {"anna"}, "code": {code}, "password": {password}, "again": {password}}.Encode()
	ask("POST", network+"/set-up", "application/x-www-form-urlencoded", form, "", "", 303)
	ask("GET", network+"/api/settings", "", "", "", "", 401)
	ask("PUT", network+"/api/holiday", asJSON, holiday, "", "", 401)
	ask("PUT", network+"/api/holiday", asJSON, holiday, "anna", "not her password", 401)
	ask("PUT", network+"/api/holiday", asJSON, holiday, "anna", password, 200)
	ask("GET", network+"/api/now", "", "", "anna", password, 200)
	ask("GET", board+"api/now", "", "", "", "", 200)
	ask("PUT", board+"api/holiday", asJSON, holiday, "", "", 401)
	ask("PUT", board+"api/holiday", asJSON, holiday, "anna", password, 200)

	c.CloseIdleConnections()
	end()
	if code := <-ended; code != exitGood {
		t.Errorf("ended with %d", code)
	}
}

// waitFor reads what is said until each pattern was met, and gives what they hold.
// What is said later is read and dropped.
func waitFor(t *testing.T, said io.Reader, patterns ...string) []string {
	t.Helper()
	found := make([]string, len(patterns))
	left := len(patterns)
	var all strings.Builder
	lines := bufio.NewScanner(said)
	for left > 0 {
		if !lines.Scan() {
			t.Fatalf("the program ended:\n%s", all.String())
		}
		all.WriteString(lines.Text() + "\n")
		for i, pattern := range patterns {
			if m := regexp.MustCompile(pattern).FindStringSubmatch(lines.Text()); m != nil && found[i] == "" {
				found[i] = m[1]
				left--
			}
		}
	}
	go io.Copy(io.Discard, said)
	return found
}
