package terminal

import (
	"crypto/tls"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"syscall"
	"time"

	"sunstoker/dashboard/door"
)

// trouble is why nothing is heard, and what to do.
type trouble struct {
	words string
	final bool          // trying again changes nothing
	who   bool          // a name with its password would help
	full  bool          // no place for a live viewer; questions are answered
	pause time.Duration // the daemon asks for so long before the next try; 0 when it says nothing
}

// Error is the words.
func (t *trouble) Error() string { return t.words }

const tellPassword = nameKey + " and " + passwordKey + " in the environment may hold them, or type them when the program asks on a terminal"

// unanswered tells why there is no answer.
func (c *caller) unanswered(err error) *trouble {
	if own, is := errors.AsType[*trouble](err); is {
		return own
	}
	where := c.base.String()
	if bad, is := errors.AsType[*tls.CertificateVerificationError](err); is {
		return &trouble{final: true, words: unknownCertificate(where, bad)}
	}
	if errors.Is(err, http.ErrSchemeMismatch) {
		return &trouble{final: true, words: fmt.Sprintf("What answers at %s does not encrypt. If it is on this machine, write http:// instead of https://; else something else answers there.", where)}
	}
	if _, is := errors.AsType[*net.DNSError](err); is {
		return &trouble{words: fmt.Sprintf("The name in %s is not known in this network. See how it is written, or take the board's address in figures.", where)}
	}
	if errors.Is(err, syscall.ECONNREFUSED) {
		return &trouble{words: fmt.Sprintf("No daemon answers at %s. See whether it runs (systemctl status sunstoker), and where its site file lets it listen.", where)}
	}
	if slow, is := errors.AsType[net.Error](err); is && slow.Timeout() {
		return &trouble{words: fmt.Sprintf("Nothing answers in time at %s. See whether the board is switched on and in the network.", where)}
	}
	if about, is := errors.AsType[*url.Error](err); is {
		err = about.Err
	}
	return &trouble{words: fmt.Sprintf("No line to %s: %v.", where, err)}
}

// unknownCertificate tells which certificate came, so that a person can compare it
// with the board's own.
func unknownCertificate(where string, bad *tls.CertificateVerificationError) string {
	words := fmt.Sprintf("The certificate of %s is not known here: %v.", where, bad.Err)
	if len(bad.UnverifiedCertificates) > 0 {
		words += " Its SHA-256 fingerprint is " + door.Fingerprint(bad.UnverifiedCertificates[0].Raw) + "."
	}
	return words + " If it is the board's own, copy the certificate from the board (web-certificate.pem beside the web configuration) by a way that you trust, " +
		"name the copy with --certificate, and use an address that stands in it. Or run this on the board itself, over SSH."
}

// refused tells why a request was refused.
func (c *caller) refused(answer *http.Response) *trouble {
	words := problemOf(answer)
	if words == "" {
		words = fmt.Sprintf("What answers at %s refuses (%s). See whether it is the daemon's page.", c.base, answer.Status)
	}
	t := &trouble{words: words}
	switch answer.StatusCode {
	case http.StatusUnauthorized:
		t.final, t.who = true, true
		if c.name == "" {
			t.words = fmt.Sprintf("%s asks for a name and a password: %s.", c.base, tellPassword)
		}
	case http.StatusBadRequest:
		if c.base.Scheme == "http" {
			t.words = fmt.Sprintf("What answers at %s may want https:// instead of http://.", c.base)
		}
		t.final = true
	case http.StatusForbidden, http.StatusNotFound, http.StatusMisdirectedRequest:
		t.final = true
	case http.StatusServiceUnavailable:
		t.full = true
	}
	if s, err := strconv.Atoi(answer.Header.Get("Retry-After")); err == nil && s > 0 {
		t.pause = min(time.Duration(s)*time.Second, longestPause)
	}
	return t
}
