//go:build hil

package hil

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

const (
	binary = "/bin/sunstoker"
	userID = 1000
	socket = "/run/sunstoker/guard"
)

// house is a site file for the simulated chip and probes.
type house struct {
	t    *testing.T
	file string
}

// newHouse writes the file; guard is a line of it, or nothing, and so is pulses.
func newHouse(t *testing.T, guard, pulses string) *house {
	t.Helper()
	folder, err := os.MkdirTemp("/tmp", "house")
	must(t, err)
	must(t, os.Chmod(folder, 0o755))
	h := &house{t: t, file: filepath.Join(folder, "site.toml")}
	must(t, os.Mkdir(h.state(), 0o700))
	must(t, os.Chown(h.state(), userID, userID))
	write(t, h.file, siteOf(h.state(), guard, pulses))
	return h
}

func siteOf(state, guard, pulses string) string {
	if guard == "" && pulses == "" {
		pulses = "without_guard = true"
	}
	return fmt.Sprintf(siteText, state, guard, wiring.probes, wiring.ageLimit, wiring.chip, wiring.pump, wiring.chip, wiring.heater, pulses)
}

// wiring is where probes and relays are: on the simulated chip and the kernel's
// own bus, unless a board says otherwise.
var wiring = struct{ probes, chip, pump, heater, ageLimit string }{"/sys/bus/w1/devices", "gpiochip0", "PUMP", "HEATER", "5 s"}

// edit changes words of the site file.
func (h *house) edit(from, to string) {
	h.t.Helper()
	text := read(h.t, h.file)
	if !strings.Contains(text, from) {
		h.t.Fatalf("the site file has no %q", from)
	}
	write(h.t, h.file, strings.Replace(text, from, to, 1)+"\n")
}

// state is the folder of its state.
func (h *house) state() string { return filepath.Join(filepath.Dir(h.file), "state") }

func guarded(t *testing.T) *house   { return newHouse(t, `guard = "`+socket+`"`, "") }
func unguarded(t *testing.T) *house { return newHouse(t, "", "") }

const siteText = `
name = "house in a test"
[place]
latitude = "45 °"
longitude = "8 °"
altitude = "250 m"
time_zone = "Europe/Rome"
coldest = "-10 °C"
[daemon]
state_folder = "%s"
outputs_tested_by = "a test"
listen = "127.0.0.1:0"
%s
[one_wire]
folder = "%s"
[settings]
heater_minimum_run = "0 s"
heater_minimum_rest = "0 s"
minimum_run = "0 s"
minimum_rest = "0 s"
reading_age_limit = "%s"
jump_patience = "2 s"
[[system]]
name = "roof"
loop = "pumped"
fluid = "propylene glycol"
antifreeze = "40 %%"
loop_pressure = "2 bar"
loop_flow = "4 l/min"
[system.collector]
area = "4 m²"
tilt = "40 °"
direction = "180 °"
optical_efficiency = "78 %%"
loss = "3.8 W/(m² K)"
loss_growth = "0.012 W/(m² K²)"
[system.tank]
volume = "200 l"
loss = "1.9 W/K"
[system.heater]
power = "2 kW"
[system.probe.collector]
kind = "one-wire"
identity = "28-000000000001"
[system.probe.tank_top]
kind = "one-wire"
identity = "28-000000000002"
[system.probe.tank_bottom]
kind = "one-wire"
identity = "28-000000000003"
[system.output.loop_pump]
kind = "relay"
chip = "%s"
line = "%s"
[system.output.backup_heater]
kind = "relay"
chip = "%s"
line = "%s"
%s
`

// program is a process of ours.
type program struct {
	t    *testing.T
	name string
	cmd  *exec.Cmd
	said *said
	done chan struct{}
	err  error
}

// said is what a program wrote.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

var _ io.Writer = (*said)(nil)

// start runs a program as an ordinary user.
func (h *house) start(name string, args ...string) *program {
	return launch(h.t, userID, name, args...)
}

func launch(t *testing.T, uid int, path string, args ...string) *program {
	t.Helper()
	p := &program{t: t, name: strings.Join(args[:min(1, len(args))], " "), cmd: exec.Command(path, args...), said: &said{}, done: make(chan struct{})}
	p.cmd.Stdout, p.cmd.Stderr = p.said, p.said
	p.cmd.Env = os.Environ()
	p.cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(uid)}}
	as := ""
	if uid == 0 {
		as = " as root"
	}
	did("start of " + p.known() + as)
	must(t, p.cmd.Start())
	go func() {
		p.err = p.cmd.Wait()
		close(p.done)
	}()
	t.Cleanup(func() {
		select {
		case <-p.done:
		default:
			did(p.known() + " is killed, since the scene is over")
		}
		_ = p.cmd.Process.Signal(syscall.SIGCONT)
		_ = p.cmd.Process.Kill()
		<-p.done
		if t.Failed() {
			t.Logf("%s said:\n%s", p.name, p.said)
		}
	})
	return p
}

// guard runs the guard and waits until it holds its lines.
func (h *house) guard() *program {
	h.t.Helper()
	p := h.start(binary, "guard", h.file)
	p.awaits("holds its outputs", untilOn)
	return p
}

func (h *house) daemon() *program { return h.start(binary, "run", h.file) }

// off runs the stop hook, as the service manager does after every end.
func (h *house) off() {
	h.t.Helper()
	p := h.start(binary, "off", h.file)
	p.ends(20 * time.Second)
	if p.err != nil {
		h.t.Errorf("off: %v\n%s", p.err, p.said)
	}
}

// known is what people call it.
func (p *program) known() string {
	switch p.name {
	case "run":
		return "the daemon"
	case "guard":
		return "the guard"
	case "off":
		return "the stop hook"
	case "probe":
		return "the survey of probes"
	}
	return "the daemon that breaks when it is told to"
}

// signalWords are the signals that the tests send.
var signalWords = map[syscall.Signal]string{
	syscall.SIGTERM: "an end signal (SIGTERM)", syscall.SIGKILL: "kill -9", syscall.SIGABRT: "SIGABRT", syscall.SIGSTOP: "SIGSTOP",
	syscall.SIGCONT: "SIGCONT", syscall.SIGUSR1: "the word to panic in a tick", syscall.SIGUSR2: "the word to hang in a tick",
}

func (p *program) signal(s syscall.Signal) time.Time {
	p.t.Helper()
	did(p.known() + " gets " + signalWords[s])
	at := time.Now()
	must(p.t, p.cmd.Process.Signal(s))
	return at
}

// awaits waits until the program has written some words.
func (p *program) awaits(words string, within time.Duration) {
	p.t.Helper()
	for until := time.Now().Add(within); !strings.Contains(p.said.String(), words); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(until) {
			p.t.Fatalf("%s does not say %q within %v", p.name, words, within)
		}
	}
}

// ends waits for the end of the program.
func (p *program) ends(within time.Duration) {
	p.t.Helper()
	select {
	case <-p.done:
	case <-time.After(within):
		p.t.Fatalf("%s does not end within %v", p.name, within)
	}
}

// launchPanicky runs this program as a daemon of the house; see panic_test.go.
func launchPanicky(t *testing.T, file string) *program {
	t.Helper()
	t.Setenv(panicsOnSignal, "1")
	return launch(t, userID, os.Args[0], file)
}
