//go:build footprint || crowd

package main

import (
	"bytes"
	_ "embed"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"text/template"
	"time"

	"sunstoker/sensors/wiretree"
)

var program = flag.String("program", "../../build/sunstoker", "the program that is measured, as it is installed")

const footprintProbes = 8

//go:embed testdata/footprint/site.toml
var footprintSite string

// running is a program that runs.
type running struct {
	cmd     *exec.Cmd
	said    *bytes.Buffer
	metrics string // address
}

// startDaemon runs the daemon on an invented house, whose state folder may be filled
// before.
func startDaemon(t *testing.T, fill ...func(stateFolder string)) *running {
	folder := t.TempDir()
	for _, do := range fill {
		do(filepath.Join(folder, "state"))
	}
	address := unusedAddress(t)
	var text strings.Builder
	err := template.Must(template.New("site").Parse(footprintSite)).Execute(&text, map[string]string{"Folder": folder, "Listen": address})
	file := filepath.Join(folder, "site.toml")
	if err = errors.Join(err, os.WriteFile(file, []byte(text.String()), 0o644)); err != nil {
		t.Fatal(err)
	}
	for _, output := range []string{"pump", "heater", "second_pump", "second_heater"} {
		if err := os.WriteFile(filepath.Join(folder, output), nil, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	tree := wiretree.Tree{Root: filepath.Join(folder, "w1")}
	put := func(at float64) error {
		var errs []error
		for i := range footprintProbes {
			errs = append(errs, tree.PutC(fmt.Sprintf("28-00000c00000%d", i+1), 30+2*float64(i)+3*math.Sin(at/60+float64(i))))
		}
		return errors.Join(errs...)
	}
	if err := put(0); err != nil {
		t.Fatal(err)
	}
	go func() { // a house whose temperatures move
		for begun := time.Now(); t.Context().Err() == nil; time.Sleep(time.Second) {
			_ = put(time.Since(begun).Seconds()) // the folder goes with the test
		}
	}()
	return start(t, address, *program, "run", "--allow-root", file)
}

// alone copies a program, so that the pages of its file are shared with nobody who
// runs it too: its proportional set would be smaller by that. It is written in small
// parts, as whoever unpacks a package does: a kernel that keeps a file in large pieces
// counts all of a piece as soon as a page of it is used.
func alone(t *testing.T, name string) string {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		t.Fatal(err)
	}
	from, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer from.Close()
	own := filepath.Join(t.TempDir(), filepath.Base(path))
	to, err := os.OpenFile(own, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o755)
	if err != nil {
		t.Fatal(err)
	}
	_, err = io.CopyBuffer(struct{ io.Writer }{to}, struct{ io.Reader }{from}, make([]byte, os.Getpagesize()))
	if err = errors.Join(err, to.Close()); err != nil {
		t.Fatal(err)
	}
	return own
}

func start(t *testing.T, address, name string, args ...string) *running {
	t.Helper()
	r := &running{cmd: exec.Command(alone(t, name), args...), said: &bytes.Buffer{}, metrics: "http://" + address + "/metrics"}
	r.cmd.Stdout, r.cmd.Stderr = r.said, r.said
	if err := r.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = r.cmd.Process.Signal(syscall.SIGTERM)
		_ = r.cmd.Wait()
		if t.Failed() {
			t.Logf("%s said:\n%.4000s", name, r.said)
		}
	})
	for until := time.Now().Add(20 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		connection, err := net.Dial("tcp", address)
		if err == nil {
			_ = connection.Close()
			return r
		}
		if time.Now().After(until) {
			t.Fatalf("%s does not listen at %s: %v", name, address, err)
		}
	}
}

func unusedAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}
