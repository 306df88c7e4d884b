package terminal

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"os"
	"strings"
	"time"

	"sunstoker/dashboard"
	"sunstoker/planner/paper"
)

// How long, in real time, a board may take, slow as it is.
const (
	dialTimeout   = 5 * time.Second
	answerTimeout = 8 * time.Second
)

// maxAnswer bounds what is read of one answer or event, in bytes: some hundred
// times that of a usual house.
const maxAnswer = 4 << 20

// caller asks one daemon.
type caller struct {
	base           *url.URL
	client         http.Client
	name, password string // empty when none was given
}

// newCaller makes a caller that trusts the certificates that the machine trusts,
// and those in a file, if one is named.
func newCaller(address, certificate string) (*caller, error) {
	base, err := addressOf(address)
	if err != nil {
		return nil, err
	}
	trusted, err := trust(certificate)
	if err != nil {
		return nil, err
	}
	return &caller{base: base, client: http.Client{
		// No proxy: the board is near, and a password is for it alone.
		Transport: &http.Transport{
			DialContext:           (&net.Dialer{Timeout: dialTimeout}).DialContext,
			TLSClientConfig:       &tls.Config{MinVersion: tls.VersionTLS12, RootCAs: trusted},
			TLSHandshakeTimeout:   dialTimeout,
			ResponseHeaderTimeout: answerTimeout,
		},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}, nil
}

// trust gives the certificates that are trusted; nil stands for the machine's own.
func trust(file string) (*x509.CertPool, error) {
	if file == "" {
		return nil, nil
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return nil, fmt.Errorf("the certificate can't be read: %w", err)
	}
	pool, err := x509.SystemCertPool()
	if err != nil {
		pool = x509.NewCertPool()
	}
	if !pool.AppendCertsFromPEM(text) {
		return nil, fmt.Errorf("%s holds no certificate; take a copy of the board's web-certificate.pem, or of the cert_file that its web configuration names", file)
	}
	return pool, nil
}

// get asks for a path below the page's address. Any answer but 200 is a trouble.
func (c *caller) get(ctx context.Context, path string) (*http.Response, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, c.base.JoinPath(path).String(), nil)
	if err != nil {
		return nil, err
	}
	if c.name != "" {
		r.SetBasicAuth(c.name, c.password)
	}
	answer, err := c.client.Do(r)
	if err != nil {
		return nil, c.unanswered(err)
	}
	if answer.StatusCode != http.StatusOK {
		defer answer.Body.Close()
		return nil, c.refused(answer)
	}
	return answer, nil
}

// now asks for the newest tick.
func (c *caller) now(ctx context.Context) (heard, error) {
	ctx, cancel := context.WithTimeout(ctx, answerTimeout)
	defer cancel()
	answer, err := c.get(ctx, "api/now")
	if err != nil {
		return heard{}, err
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(io.LimitReader(answer.Body, maxAnswer))
	if err != nil {
		return heard{}, c.unanswered(err)
	}
	return readTick(text)
}

// readTick reads what /api/now and a "tick" event carry.
func readTick(text []byte) (heard, error) {
	var answer dashboard.Answer
	var now dashboard.Now
	err := json.Unmarshal(text, &answer)
	if err == nil {
		err = json.Unmarshal(answer.Now, &now)
	}
	if err != nil {
		return heard{}, &trouble{words: "What the daemon says can't be read: it and this program are not of the same version, or it is another program that answers there."}
	}
	return heard{now: &now, age: seconds(answer.AgeSeconds)}, nil
}

func seconds(s float64) time.Duration {
	return time.Duration(min(max(s, 0), 1e9) * float64(time.Second))
}

// problemOf gives the words of a refusal, or nothing.
func problemOf(answer *http.Response) string {
	text, err := io.ReadAll(io.LimitReader(answer.Body, 64<<10))
	if err != nil || !strings.HasPrefix(answer.Header.Get("Content-Type"), "application/problem+json") {
		return ""
	}
	var problem dashboard.Problem
	if json.Unmarshal(text, &problem) != nil {
		return ""
	}
	return paper.Plain(problem.Detail)
}
