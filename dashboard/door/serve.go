package door

import (
	"bytes"
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log"
	"log/slog"
	"net"
	"net/http"
	"os"
	"strings"
	"time"
)

// What one entrance bears.
const (
	mostConnections = 96
	mostByAddress   = 24 // browsers of a household behind one address, with six each
	mostHeaderBytes = 16 << 10
	mostBodyBytes   = 16 << 10
	headerTimeout   = 5 * time.Second
	bodyTimeout     = 5 * time.Second
	answerTimeout   = 30 * time.Second // an event stream renews it with every event
	idleTimeout     = time.Minute
	graceAtEnd      = 3 * time.Second
)

// Serve answers requests until ctx ends, then ends the live viewers, lets the
// other answers finish for a moment, and returns nil. It closes the listener.
func (e *Entrance) Serve(ctx context.Context, next http.Handler) error {
	protocols := new(http.Protocols)
	protocols.SetHTTP1(true)
	server := &http.Server{
		Handler:                      e.handler(next),
		ReadHeaderTimeout:            headerTimeout,
		WriteTimeout:                 answerTimeout,
		IdleTimeout:                  idleTimeout,
		MaxHeaderBytes:               mostHeaderBytes,
		Protocols:                    protocols,
		DisableGeneralOptionsHandler: true,
		ErrorLog:                     log.New(&panicsOnly{e.door.o.Log}, "", 0),
		BaseContext:                  func(net.Listener) context.Context { return ctx }, // ends event streams with ctx
		ConnContext:                  withGuest,
	}
	var l net.Listener = newCrowd(e.listener, mostConnections, mostByAddress, e.door.o.Refused)
	if e.network {
		l = tls.NewListener(l, e.door.tlsConfig())
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), graceAtEnd)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		server.Close()
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// panicsOnly keeps what callers do wrong with their connections out of the log,
// where a flood of it would bury the rest, and lets faults of this program in.
type panicsOnly struct{ log *slog.Logger }

func (p *panicsOnly) Write(line []byte) (int, error) {
	if text := string(line); strings.HasPrefix(text, "http: panic") {
		p.log.Error("a request has met a fault of this program", "fault", text)
	}
	return len(line), nil
}

// contentPolicy lets the page load its own files and talk to its own program,
// and nothing else: no inline script or style, no other host, no frame.
const contentPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"base-uri 'none'; form-action 'none'; frame-ancestors 'none'; require-trusted-types-for 'script'"

// handler stands before every answer.
func (e *Entrance) handler(next http.Handler) http.Handler {
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
			// Whether or not somebody reads it, a body must not hold the connection.
			_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(bodyTimeout)) // a writer of a test has none
		}
		switch {
		case !e.hosts.meant(r.Host):
			e.turnAway(w, r, wrongHost, http.StatusMisdirectedRequest, e.hosts.words())
		case foreign.Check(r) != nil:
			e.turnAway(w, r, foreignPage, http.StatusForbidden, "This comes from a page of another origin, which may not ask for anything here. Use the page of this program.")
		default:
			e.letIn(w, r, next)
		}
	})
}

// letIn hands a request on with the person who asks and with its whole body.
func (e *Entrance) letIn(w http.ResponseWriter, r *http.Request, next http.Handler) {
	if e.network {
		if s := e.door.settingUp(); s != nil {
			if e.readBody(w, r) {
				s.ServeHTTP(w, r)
			}
			return
		}
	}
	if r.ContentLength != 0 {
		w.Header().Set("Connection", "close") // for whoever is turned away with his body unread
	}
	p, counts, ok := e.who(w, r)
	if !ok || !e.readBody(w, r) {
		return
	}
	w.Header().Del("Connection")
	defer serving(r)()
	if counts != nil { // whoever watches live does so no longer than his password counts
		ctx, cancel := context.WithCancel(r.Context())
		defer cancel()
		defer context.AfterFunc(counts, cancel)()
		r = r.WithContext(ctx)
	}
	p.refused = e.door.o.Refused
	next.ServeHTTP(w, As(r, p))
}

// readBody reads a request's body, so that no handler waits for the network.
// When it does not come, or is too large, it has answered.
func (e *Entrance) readBody(w http.ResponseWriter, r *http.Request) bool {
	if r.ContentLength == 0 {
		return true
	}
	switch r.Method {
	case http.MethodPost, http.MethodPut, http.MethodPatch:
	default:
		e.turnAway(w, r, badBody, http.StatusBadRequest, "Only POST, PUT and PATCH have a body here. Send this without one.")
		return false
	}
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, mostBodyBytes))
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		e.turnAway(w, r, badBody, http.StatusRequestEntityTooLarge, fmt.Sprintf("The body is larger than %d bytes, more than any request here needs.", mostBodyBytes))
		return false
	case errors.Is(err, os.ErrDeadlineExceeded):
		e.turnAway(w, r, badBody, http.StatusRequestTimeout, "The body came too slowly. Send it in one go.")
		return false
	case err != nil:
		e.turnAway(w, r, badBody, http.StatusBadRequest, "The body can't be read. Send it anew.")
		return false
	}
	_ = http.NewResponseController(w).SetReadDeadline(time.Time{}) // nothing more is read of this request
	r.Body, r.ContentLength = io.NopCloser(bytes.NewReader(body)), int64(len(body))
	return true
}

// turnAway refuses without looking at a body.
func (e *Entrance) turnAway(w http.ResponseWriter, r *http.Request, kind refusedKind, status int, words string) {
	e.door.o.Refused.add(kind)
	if r.ContentLength != 0 {
		w.Header().Set("Connection", "close")
	}
	e.door.o.Refuse(w, r, status, words)
}
