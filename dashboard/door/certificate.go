package door

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"path/filepath"
	"strings"
	"time"
)

// The certificate that the set-up makes, in the folder of the web configuration.
const (
	certificateFile = "web-certificate.pem"
	keyFile         = "web-key.pem"
)

// A board may have no clock when it makes its certificate, and nobody comes to
// make a new one, so it is dated by no clock and does not run out in the life of
// the plant.
var (
	certificateFrom = time.Date(2025, 1, 1, 0, 0, 0, 0, time.UTC)
	certificateTo   = time.Date(2054, 12, 31, 23, 59, 59, 0, time.UTC)
)

// ownCertificate reads the board's own certificate, or makes one.
func ownCertificate(folder string, names []string) (*tls.Certificate, error) {
	certPath, keyPath := filepath.Join(folder, certificateFile), filepath.Join(folder, keyFile)
	cert, certErr := readBounded(certPath)
	key, keyErr := readPrivate(keyPath)
	if errors.Is(certErr, fs.ErrNotExist) || errors.Is(keyErr, fs.ErrNotExist) {
		var err error
		if cert, key, err = makeCertificate(names); err != nil {
			return nil, fmt.Errorf("a certificate can't be made: %w", err)
		}
		if err := errors.Join(writePrivate(keyPath, key), writePrivate(certPath, cert)); err != nil {
			return nil, fmt.Errorf("the new certificate can't be kept, and without one nothing is served on the network: %w", err)
		}
	} else if err := errors.Join(certErr, keyErr); err != nil {
		return nil, err
	}
	pair, err := tls.X509KeyPair(cert, key)
	if err != nil {
		return nil, fmt.Errorf("the certificate in %s can't be used: %w; take %s and %s away, and new ones are made", folder, err, certificateFile, keyFile)
	}
	return &pair, nil
}

// makeCertificate makes a key, and a certificate for it that it has signed itself.
func makeCertificate(names []string) (cert, key []byte, err error) {
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return nil, nil, err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 126))
	if err != nil {
		return nil, nil, err
	}
	template := &x509.Certificate{
		SerialNumber:          serial,
		Subject:               pkix.Name{CommonName: "solar water heater"},
		NotBefore:             certificateFrom,
		NotAfter:              certificateTo,
		KeyUsage:              x509.KeyUsageDigitalSignature,
		ExtKeyUsage:           []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth},
		BasicConstraintsValid: true,
		DNSNames:              append([]string{"localhost"}, names...),
		IPAddresses:           []net.IP{net.IPv4(127, 0, 0, 1), net.IPv6loopback},
	}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &private.PublicKey, private)
	if err != nil {
		return nil, nil, err
	}
	keyDER, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		return nil, nil, err
	}
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}),
		pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: keyDER}), nil
}

// Fingerprint is what browsers show of a certificate, given as DER, so that a person
// can see that it is this board's.
func Fingerprint(der []byte) string {
	sum := sha256.Sum256(der)
	return strings.ReplaceAll(fmt.Sprintf("% X", sum[:]), " ", ":")
}
