package terminal

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"os/signal"
	"strings"
	"syscall"
	"testing"

	"golang.org/x/sys/unix"
)

// openTerminal gives both ends of a terminal: what a program writes to, and who
// sits in front of it.
func openTerminal(t *testing.T, columns, rows uint16) (tty, person *os.File) {
	t.Helper()
	person, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("this machine has no terminals: %v", err)
	}
	t.Cleanup(func() { _ = person.Close() })
	number, err := unix.IoctlGetInt(int(person.Fd()), unix.TIOCGPTN)
	if err = errors.Join(err, unix.IoctlSetPointerInt(int(person.Fd()), unix.TIOCSPTLCK, 0)); err != nil {
		t.Fatal(err)
	}
	tty, err = os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = tty.Close() })
	resize(t, tty, columns, rows)
	return tty, person
}

func resize(t *testing.T, tty *os.File, columns, rows uint16) {
	t.Helper()
	if err := unix.IoctlSetWinsize(int(tty.Fd()), unix.TIOCSWINSZ, &unix.Winsize{Col: columns, Row: rows}); err != nil {
		t.Fatal(err)
	}
}

// seen reads a terminal until a text was seen, and gives all up to there.
func seen(t *testing.T, person *os.File, text string) string {
	t.Helper()
	var all []byte
	for b := make([]byte, 4096); !bytes.Contains(all, []byte(text)); {
		n, err := person.Read(b)
		if err != nil {
			t.Fatalf("%q was not seen (%v) in\n%q", text, err, all)
		}
		all = append(all, b[:n]...)
	}
	return string(all)
}

// liveDaemon sends one tick to each viewer and keeps the line.
func liveDaemon(t *testing.T) string {
	t.Helper()
	event := tickEvent(t)
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if name, password, _ := r.BasicAuth(); name != "anna" || password != "kettle meadow" {
			w.Header().Set("Content-Type", "application/problem+json")
			w.WriteHeader(http.StatusUnauthorized)
			io.WriteString(w, `{"detail": "Name and password don't belong together."}`)
			return
		}
		if r.URL.Path != "/api/events" {
			io.WriteString(w, strings.TrimPrefix(strings.Split(event, "\n")[2], "data: "))
			return
		}
		io.WriteString(w, event)
		w.(http.Flusher).Flush()
		<-r.Context().Done()
	}))
	t.Cleanup(s.Close)
	return s.URL
}

// TestOnATerminal: name and password are typed, unseen; the picture follows the
// terminal's size; the end leaves the terminal as it was.
func TestOnATerminal(t *testing.T) {
	tty, person := openTerminal(t, 80, 24)
	ctx, end := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	address := liveDaemon(t)
	go func() {
		ended <- Watch(ctx, Options{Address: address, In: tty, Out: tty, Prompt: tty, Environment: func(string) string { return "" }})
	}()
	enter := func(text string) {
		if _, err := io.WriteString(person, text+"\n"); err != nil {
			t.Fatal(err)
		}
	}
	seen(t, person, "Name: ")
	enter("anna")
	seen(t, person, "Password: ")
	enter("a wrong one")
	seen(t, person, "don't belong together.\r\nName: ")
	enter("anna")
	seen(t, person, "Password: ")
	enter("kettle meadow")
	if shown := seen(t, person, "No findings"); strings.Contains(shown, "kettle") || !strings.Contains(shown, "\x1b[?1049h") || !strings.Contains(shown, "\x1b[33m") && !strings.Contains(shown, "\x1b[31m") {
		t.Errorf("on the terminal stands\n%q", shown)
	}
	resize(t, tty, 40, 12)
	if err := syscall.Kill(os.Getpid(), syscall.SIGWINCH); err != nil {
		t.Fatal(err)
	}
	seen(t, person, "\x1b[2K\x1b[1mHouse on the hill                  12:42\x1b[0m")
	end()
	seen(t, person, "\x1b[?25h\x1b[?1049l")
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// TestTerminalThatIsGone: a closed connection ends it.
func TestTerminalThatIsGone(t *testing.T) {
	tty, person := openTerminal(t, 80, 24)
	ended := make(chan error, 1)
	address := liveDaemon(t)
	env := map[string]string{nameKey: "anna", passwordKey: "kettle meadow", "NO_COLOR": "1"}
	go func() {
		ended <- Watch(t.Context(), Options{Address: address, In: tty, Out: tty, Prompt: tty, Environment: func(key string) string { return env[key] }})
	}()
	if shown := seen(t, person, "No findings"); strings.Contains(shown, "\x1b[3") || strings.Contains(shown, "\x1b[1") {
		t.Errorf("colours in spite of NO_COLOR:\n%q", shown)
	}
	if err := person.Close(); err != nil {
		t.Fatal(err)
	}
	if err := <-ended; err == nil {
		t.Error("a terminal that is gone is no error")
	}
}

// TestHangUp: a terminal's connection that is closed ends it too when the signal
// comes first, and the terminal is left clean.
func TestHangUp(t *testing.T) {
	tty, person := openTerminal(t, 80, 24)
	ended := make(chan error, 1)
	address := liveDaemon(t)
	env := map[string]string{nameKey: "anna", passwordKey: "kettle meadow"}
	go func() {
		ended <- Watch(t.Context(), Options{Address: address, In: tty, Out: tty, Prompt: tty, Environment: func(key string) string { return env[key] }})
	}()
	seen(t, person, "No findings")
	if err := syscall.Kill(os.Getpid(), syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	seen(t, person, "\x1b[?1049l")
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

// TestStopped: while it is stopped the terminal is the shell's, and afterwards the
// picture is there again.
func TestStopped(t *testing.T) {
	tty, person := openTerminal(t, 80, 24)
	ctx, end := context.WithCancel(t.Context())
	ended, goOn := make(chan error, 1), make(chan bool)
	address := liveDaemon(t)
	env := map[string]string{nameKey: "anna", passwordKey: "kettle meadow"}
	stop := func() {
		io.WriteString(tty, "the shell's")
		<-goOn
	}
	go func() {
		ended <- Watch(ctx, Options{Address: address, In: tty, Out: tty, Prompt: tty, Environment: func(key string) string { return env[key] }, stop: stop})
	}()
	seen(t, person, "No findings")
	for range 2 {
		if err := syscall.Kill(os.Getpid(), syscall.SIGTSTP); err != nil {
			t.Fatal(err)
		}
		if before := seen(t, person, "the shell's"); !strings.HasSuffix(before, leaveScreen+"the shell's") {
			t.Errorf("it was stopped with\n%q", before)
		}
		goOn <- true
		if after := seen(t, person, "No findings"); !strings.HasPrefix(after, enterScreen) {
			t.Errorf("it went on with\n%q", after)
		}
	}
	end()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

const stopsItself = "TERMINAL_TEST_STOPS_ITSELF"

// TestStopHere: a program of its own is stopped as a shell would see it, and goes on;
// where there is no shell it is not.
func TestStopHere(t *testing.T) {
	if os.Getenv(stopsItself) != "" {
		signal.Notify(make(chan os.Signal, 1), syscall.SIGTSTP)
		stopHere()
		return
	}
	for shell, how := range map[bool]*syscall.SysProcAttr{true: {Setpgid: true}, false: {Setsid: true}} {
		child := exec.Command(os.Args[0], "-test.run=^TestStopHere$", "-test.timeout=1m")
		child.Env = append(os.Environ(), stopsItself+"=1")
		child.SysProcAttr = how
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		var status syscall.WaitStatus
		if _, err := syscall.Wait4(child.Process.Pid, &status, syscall.WUNTRACED, nil); err != nil || status.Stopped() != shell {
			t.Fatalf("with a shell %v: %#x, %v", shell, status, err)
		}
		if !shell {
			if status.ExitStatus() != 0 {
				t.Errorf("it ended with %#x", status)
			}
			continue
		}
		if err := syscall.Kill(-child.Process.Pid, syscall.SIGCONT); err != nil {
			t.Fatal(err)
		}
		if err := child.Wait(); err != nil {
			t.Error(err)
		}
	}
}

// TestDumbTerminal: one that can't be steered gets plain lines.
func TestDumbTerminal(t *testing.T) {
	tty, person := openTerminal(t, 80, 24)
	ctx, end := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	address := liveDaemon(t)
	env := map[string]string{nameKey: "anna", passwordKey: "kettle meadow", "TERM": "dumb"}
	go func() {
		ended <- Watch(ctx, Options{Address: address, In: tty, Out: tty, Prompt: tty, Environment: func(key string) string { return env[key] }})
	}()
	if shown := seen(t, person, "outside the heater's windows"); strings.Contains(shown, "\x1b") || !strings.Contains(shown, "2026-02-19 12:42 roof: 47.8 °C at the top of the tank, hot.") {
		t.Errorf("on the terminal stands\n%q", shown)
	}
	end()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
