package dashboard

import (
	"net"
	"net/http"
	"net/netip"
	"strings"
	"time"

	"sunstoker/dashboard/door"
)

// contentPolicy lets the page load its own files and talk to its own program,
// and nothing else: no inline script or style, no other host, no frame.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"

// guard stands before every answer: security headers, only requests that were
// meant for this board, and nothing that a foreign page has made a browser ask.
// Whoever comes through has the role of those who reach the loopback interface.
func guard(local door.Role, next http.Handler) http.Handler {
	foreign := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", contentPolicy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if r.ContentLength != 0 {
			bodyBy(w, time.Now().Add(headerTimeout))
		}
		switch {
		case !meantForLoopback(r.Host):
			refuseWhole(w, r, http.StatusMisdirectedRequest, "This program answers only to localhost or a loopback address such as 127.0.0.1.")
		case !hasBody(r.Method) && r.ContentLength != 0:
			refuseWhole(w, r, http.StatusBadRequest, "A request by "+shortened(r.Method)+" has no body: send it without one.")
		case foreign.Check(r) != nil:
			refuseWhole(w, r, http.StatusForbidden, "This comes from a page of another origin, which may not ask for anything here. Use the page of this program.")
		default:
			next.ServeHTTP(w, door.As(r, door.Person{Name: "somebody at the board", Role: local}))
		}
	})
}

// hasBody tells whether a method takes a body here.
func hasBody(method string) bool { return method == http.MethodPut || method == http.MethodPatch }

// refuseWhole refuses without looking at a body.
func refuseWhole(w http.ResponseWriter, r *http.Request, status int, words string) {
	if r.ContentLength != 0 {
		w.Header().Set("Connection", "close")
	}
	refuse(w, r, status, words)
}

// bodyBy gives a body time to arrive. Without the end of that time a slow one
// would hold its connection, also when nobody reads it; zero takes the end away.
func bodyBy(w http.ResponseWriter, end time.Time) {
	_ = http.NewResponseController(w).SetReadDeadline(end) // a writer of a test has no deadlines
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
