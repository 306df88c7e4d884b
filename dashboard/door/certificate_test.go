package door

import (
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"encoding/hex"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestOwnCertificate(t *testing.T) {
	folder := t.TempDir()
	pair, err := ownCertificate(folder, []string{"board.local"})
	if err != nil {
		t.Fatal(err)
	}
	cert, err := x509.ParseCertificate(pair.Certificate[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"board.local", "localhost", "127.0.0.1", "::1"} {
		if err := cert.VerifyHostname(name); err != nil {
			t.Error(err)
		}
	}
	pool := x509.NewCertPool()
	pool.AddCert(cert)
	for _, at := range []time.Time{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(2050, 1, 1, 0, 0, 0, 0, time.UTC)} {
		if _, err := cert.Verify(x509.VerifyOptions{Roots: pool, CurrentTime: at, DNSName: "localhost"}); err != nil {
			t.Errorf("at %v: %v", at, err)
		}
	}
	if info, err := os.Stat(filepath.Join(folder, keyFile)); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("the key's file: %v %v", info.Mode(), err)
	}
	sum := sha256.Sum256(pair.Certificate[0])
	if got := strings.ToLower(strings.ReplaceAll(Fingerprint(pair.Certificate[0]), ":", "")); got != hex.EncodeToString(sum[:]) || strings.Count(Fingerprint(pair.Certificate[0]), ":") != 31 {
		t.Errorf("fingerprint %s", Fingerprint(pair.Certificate[0]))
	}
	other, err := ownCertificate(t.TempDir(), nil)
	if err != nil {
		t.Fatal(err)
	}
	if Fingerprint(other.Certificate[0]) == Fingerprint(pair.Certificate[0]) {
		t.Error("two boards have one certificate")
	}
	if err := os.WriteFile(filepath.Join(folder, keyFile), []byte("nonsense"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := ownCertificate(folder, nil); err == nil || !strings.Contains(err.Error(), "take web-certificate.pem and web-key.pem away") {
		t.Errorf("a key that is none: %v", err)
	}
}

func TestOldTLSIsRefused(t *testing.T) {
	h := newHouse(t, "", nil)
	h.encrypted(t, users("anna"))
	s := h.open(t, outside, whoAsks)
	for version, good := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		c := tls.Client(s.dial(caller), &tls.Config{RootCAs: h.trusted(t), ServerName: "localhost", MinVersion: version, MaxVersion: version})
		if err := c.HandshakeContext(t.Context()); (err == nil) != good {
			t.Errorf("%s: %v", tls.VersionName(version), err)
		}
		c.NetConn().Close()
	}
}

func TestClearTextIsRefusedOnTheNetwork(t *testing.T) {
	h := newHouse(t, "", nil)
	h.encrypted(t, users("anna"))
	s := h.open(t, outside, whoAsks)
	if answer, body := ask(t, h.browser(t, s, caller), "GET", "http://localhost/", "anna", annasPassword, nil); answer.StatusCode != 400 || strings.Contains(body, "may") {
		t.Errorf("%d %q", answer.StatusCode, body)
	}
}

func TestANewCertificateIsTakenWithoutARestart(t *testing.T) {
	h := newHouse(t, "", nil)
	h.encrypted(t, users("anna"))
	s := h.open(t, outside, whoAsks)
	before := h.trusted(t)
	for _, name := range []string{certificateFile, keyFile} {
		if err := os.Remove(filepath.Join(filepath.Dir(h.file), name)); err != nil {
			t.Fatal(err)
		}
	}
	h.encrypted(t, users("anna"))
	h.clock = h.clock.Add(lookAgain)
	shown := func(pool *x509.CertPool) error {
		// TLS 1.2 ends with both sides silent; in 1.3 both may still write, and a pipe has no room.
		c := tls.Client(s.dial(caller), &tls.Config{RootCAs: pool, ServerName: "localhost", MaxVersion: tls.VersionTLS12})
		defer c.NetConn().Close()
		return c.HandshakeContext(t.Context())
	}
	if err := shown(h.trusted(t)); err != nil {
		t.Errorf("the new one is not shown: %v", err)
	}
	if shown(before) == nil {
		t.Error("the old one is shown still")
	}
}
