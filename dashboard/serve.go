package dashboard

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"net/netip"
	"time"
)

const (
	maxConnections = 64
	maxHeaderBytes = 16 << 10
	headerTimeout  = 5 * time.Second
	answerTimeout  = 30 * time.Second // an event stream renews it with every event
	idleTimeout    = time.Minute
	graceAtEnd     = 3 * time.Second
)

// Listen opens a listener on a loopback address with its port, such as
// "127.0.0.1:8017", "[::1]:8017" or "localhost:8017".
func Listen(address string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return nil, fmt.Errorf("dashboard: %q is no address with a port; write for example 127.0.0.1:8017", address)
	}
	if host == "" || !meantForLoopback(host) {
		return nil, refusal(address)
	}
	l, err := net.Listen("tcp", address)
	if err != nil {
		return nil, fmt.Errorf("dashboard: can't listen on %s: %w; see whether another program listens there already", address, err)
	}
	if !onLoopback(l) { // "localhost" may be made to name something else
		l.Close()
		return nil, refusal(l.Addr().String())
	}
	return l, nil
}

func refusal(address string) error {
	return fmt.Errorf("dashboard: will not listen on %s: this version has no passwords and no encryption, so it serves the board itself alone; "+
		"write listen = \"127.0.0.1:8017\" and reach it from elsewhere through an SSH tunnel", address)
}

func onLoopback(l net.Listener) bool {
	addr, err := netip.ParseAddrPort(l.Addr().String())
	return err == nil && addr.Addr().Unmap().IsLoopback()
}

// Serve answers requests on the listener until ctx ends, then ends the live
// viewers, lets the other answers finish for a moment, and returns nil. It
// closes the listener. A listener that is not on loopback is an error.
func Serve(ctx context.Context, l net.Listener, handler http.Handler) error {
	if !onLoopback(l) {
		l.Close()
		return refusal(l.Addr().String())
	}
	server := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: headerTimeout,
		WriteTimeout:      answerTimeout,
		IdleTimeout:       idleTimeout,
		MaxHeaderBytes:    maxHeaderBytes,
		BaseContext:       func(net.Listener) context.Context { return ctx }, // ends event streams with ctx
	}
	ended := make(chan error, 1)
	go func() { ended <- server.Serve(bound(l, maxConnections)) }()
	select {
	case err := <-ended:
		return fmt.Errorf("dashboard: %w", err)
	case <-ctx.Done():
	}
	grace, cancel := context.WithTimeout(context.WithoutCancel(ctx), graceAtEnd)
	defer cancel()
	if err := server.Shutdown(grace); err != nil {
		server.Close()
	}
	if err := <-ended; !errors.Is(err, http.ErrServerClosed) {
		return fmt.Errorf("dashboard: %w", err)
	}
	return nil
}
