package dashboard

import (
	"net"
	"net/http"
	"net/netip"
	"strings"
	"time"
)

// contentPolicy lets the page load its own files and talk to its own program,
// and nothing else: no inline script or style, no other host, no frame.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"

// guard stands before every answer: security headers, reading methods only,
// and only requests that were meant for this board.
func guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		switch {
		case r.Method != http.MethodGet && r.Method != http.MethodHead:
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "This page only shows; it takes GET and HEAD alone.", http.StatusMethodNotAllowed)
		case r.ContentLength != 0:
			// The body must not hold the connection: it is not read for long.
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(headerTimeout))
			h.Set("Connection", "close")
			http.Error(w, "A request for reading has no body.", http.StatusBadRequest)
		case !meantForLoopback(r.Host):
			http.Error(w, "This program answers only to localhost or a loopback address such as 127.0.0.1.", http.StatusMisdirectedRequest)
		default:
			next.ServeHTTP(w, r)
		}
	})
}

// meantForLoopback tells whether a request's Host names the loopback interface.
// A foreign name that was made to resolve to it, so that a foreign page could
// read the house's data through the owner's browser, does not.
func meantForLoopback(host string) bool {
	if name, _, err := net.SplitHostPort(host); err == nil {
		host = name
	}
	host = strings.TrimSuffix(strings.TrimPrefix(host, "["), "]")
	if strings.EqualFold(host, "localhost") {
		return true
	}
	addr, err := netip.ParseAddr(host)
	return err == nil && addr.Unmap().IsLoopback()
}
