package messages

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// ownCertificate is one that a broker has made for itself, with the file that vouches
// for it.
func ownCertificate(t *testing.T) (certificate *tls.Certificate, file string) {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	form := &x509.Certificate{
		SerialNumber: big.NewInt(1), NotBefore: time.Unix(0, 0), NotAfter: time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageDigitalSignature | x509.KeyUsageCertSign,
	}
	der, err := x509.CreateCertificate(rand.Reader, form, form, &key.PublicKey, key)
	if err != nil {
		t.Fatal(err)
	}
	return &tls.Certificate{Certificate: [][]byte{der}, PrivateKey: key}, written(t, string(pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der})), 0o644)
}

// written is a file of its own with a text.
func written(t *testing.T, text string, mode os.FileMode) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, []byte(text), mode); err != nil {
		t.Fatal(err)
	}
	return file
}

// TestEncryptedWithAPassword: both come from files, and the password stands in no log.
func TestEncryptedWithAPassword(t *testing.T) {
	certificate, authority := ownCertificate(t)
	b := startBroker(t, "127.0.0.1:0", certificate)
	m := start(t, Options{Broker: b.address(), Encrypted: true, AuthorityFile: authority, User: "anna", PasswordFile: written(t, "rain\n", 0o600)})
	if got := b.await("hill/state"); string(got.Payload) != here {
		t.Errorf("who comes is said to be %q", got.Payload)
	}
	m.end()
	wrong := start(t, Options{Broker: b.address(), Encrypted: true, AuthorityFile: authority, User: "anna", PasswordFile: written(t, "secret-word", 0o400)})
	wrong.failed(t)
	if log := wrong.log.String() + m.log.String(); strings.Contains(log, "secret-word") || strings.Contains(log, "rain") || !strings.Contains(log, "user or password are wrong") && !strings.Contains(log, "may not connect") {
		t.Errorf("the log: %s", log)
	}
}

func TestBrokersThatNobodyVouchesForAreRefused(t *testing.T) {
	certificate, _ := ownCertificate(t)
	_, another := ownCertificate(t)
	b := startBroker(t, "127.0.0.1:0", certificate)
	for _, c := range []struct {
		what, authority, want string
	}{
		{"the board's authorities", "", "certificate"},
		{"another's authority", another, "certificate"},
		{"a file that is not there", "/nowhere/authority.pem", "no such file"},
		{"a file of something else", written(t, "text", 0o644), "holds no certificate"},
	} {
		m := start(t, Options{Broker: b.address(), Encrypted: true, AuthorityFile: c.authority})
		m.failed(t)
		if log := m.log.String(); !strings.Contains(log, c.want) || strings.Contains(log, "broker is there") {
			t.Errorf("%s: %s", c.what, log)
		}
		m.end()
	}
}

func TestPasswordFiles(t *testing.T) {
	folder := t.TempDir()
	for _, c := range []struct{ what, file, want string }{
		{"others can read it", written(t, "rain", 0o640), "run chmod 600 on it"},
		{"it is empty", written(t, "\n", 0o600), "there is no password in"},
		{"it has two lines", written(t, "rain\nsnow\n", 0o600), "in one line"},
		{"it is long", written(t, strings.Repeat("r", longestPassword+1), 0o600), "at most 1024 bytes"},
		{"it is a folder", folder, "no plain file"},
		{"it is not there", filepath.Join(folder, "file"), "no such file"},
	} {
		m := New(Options{User: "anna", PasswordFile: c.file})
		if _, err := m.password(); err == nil || !strings.Contains(err.Error(), c.want) || strings.Contains(err.Error(), "rain") {
			t.Errorf("%s: %v, want %q", c.what, err, c.want)
		}
	}
	m := New(Options{User: "anna", PasswordFile: written(t, " rain and snow \r\n", 0o600)})
	if got, err := m.password(); err != nil || string(got) != " rain and snow " {
		t.Errorf("%q, %v", got, err)
	}
}
