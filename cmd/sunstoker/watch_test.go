package main

import (
	"context"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"
)

// TestWatchTheDemo: one picture of a house that runs, and plain lines of it.
func TestWatchTheDemo(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	said, stdout := io.Pipe()
	ctx, end := context.WithCancel(t.Context())
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"demo", "--listen", "127.0.0.1:0"}, strings.NewReader(""), stdout, io.Discard)
		stdout.Close()
	}()
	page := waitFor(t, said, `page +(http://\S+)`)[0]

	lines, written := io.Pipe()
	watching, stop := context.WithCancel(ctx)
	watched := make(chan int, 1)
	go func() {
		watched <- run(watching, []string{"watch", page}, strings.NewReader(""), written, os.Stderr)
		written.Close()
	}()
	waitFor(t, lines, `^(2026-\d\d-\d\d \d\d:\d\d roof: .*Loop pump .*Backup heater .*)$`)
	stop()
	var picture strings.Builder
	if code := run(ctx, []string{"watch", "--once", strings.Trim(page, "htp:/")}, strings.NewReader(""), &picture, os.Stderr); code != exitGood {
		t.Errorf("ended with %d", code)
	}
	for _, want := range []string{`(?m)^Demo house +\d\d:\d\d$`, `█`, `(?m)^Loop pump (on|off|at \d+ %): `} {
		if !regexp.MustCompile(want).MatchString(picture.String()) {
			t.Errorf("no %s in\n%s", want, picture.String())
		}
	}
	end()
	if code := <-ended; code != exitGood {
		t.Errorf("the demo ended with %d", code)
	}
	if code := <-watched; code != exitGood {
		t.Errorf("watching ended with %d", code)
	}
}
