package messages

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
)

// dial connects to the broker's address, encrypted where that is asked for.
func (m *Messenger) dial(ctx context.Context) (net.Conn, error) {
	ctx, cancel := context.WithTimeout(ctx, timeout)
	defer cancel()
	if !m.o.Encrypted {
		return (&net.Dialer{}).DialContext(ctx, "tcp", m.o.Broker)
	}
	config := &tls.Config{MinVersion: tls.VersionTLS12}
	if m.o.AuthorityFile != "" {
		text, err := os.ReadFile(m.o.AuthorityFile)
		if err != nil {
			return nil, err
		}
		config.RootCAs = x509.NewCertPool()
		if !config.RootCAs.AppendCertsFromPEM(text) {
			return nil, fmt.Errorf("%s holds no certificate in PEM form", m.o.AuthorityFile)
		}
	}
	return (&tls.Dialer{Config: config}).DialContext(ctx, "tcp", m.o.Broker)
}

// longestPassword is that of a file that is read.
const longestPassword = 1024

// password reads the user's password anew, so that another one counts with the next
// connection.
func (m *Messenger) password() ([]byte, error) {
	if m.o.User == "" {
		return nil, nil
	}
	file, err := os.Open(m.o.PasswordFile)
	if err != nil {
		return nil, err
	}
	defer file.Close()
	about, err := file.Stat()
	switch {
	case err != nil:
		return nil, err
	case !about.Mode().IsRegular():
		return nil, fmt.Errorf("%s is no plain file", m.o.PasswordFile)
	case about.Mode().Perm()&0o077 != 0:
		return nil, fmt.Errorf("other accounts can read the password in %s: run chmod 600 on it", m.o.PasswordFile)
	}
	text, err := io.ReadAll(io.LimitReader(file, longestPassword+1))
	if err != nil {
		return nil, err
	}
	text = bytes.TrimRight(text, "\r\n")
	switch {
	case len(text) == 0:
		return nil, errors.New("there is no password in " + m.o.PasswordFile)
	case len(text) > longestPassword || bytes.ContainsAny(text, "\r\n"):
		return nil, fmt.Errorf("%s must hold the password in one line of at most %d bytes, and nothing else", m.o.PasswordFile, longestPassword)
	}
	return text, nil
}
