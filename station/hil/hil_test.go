//go:build hil

package hil

import (
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"
	"time"
)

const (
	untilOn  = 60 * time.Second // for a daemon to start, read its probes and heat
	mostTime = 2 * time.Second  // for the outputs to go off, in whatever way the daemon dies
)

// measured tells a figure of the table that the boot script prints.
func measured(t *testing.T, what string, took time.Duration) {
	t.Helper()
	t.Logf("hil: %s = %.3f s", what, took.Seconds())
}

// heats brings the house to the point at which the heater is on.
func heats(t *testing.T) {
	t.Helper()
	heaterLine.becomes(t, true, time.Now(), untilOn)
}

func TestMain(m *testing.M) {
	if os.Getenv(panicsOnSignal) != "" {
		os.Exit(runPanicky(os.Args[len(os.Args)-1]))
	}
	if onBoard() {
		os.Exit(m.Run())
	}
	feed, err := openWatchdog()
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	code := m.Run()
	feed.starve()
	os.Exit(code)
}

// From the guard's start to the daemon's first wish, and up to the end, nothing
// clicks: no line is high that nobody asked for.
func TestStartWithoutAPulse(t *testing.T) {
	record(t)
	h := guarded(t)
	h.guard()
	h.daemon()
	begin := time.Now()
	took := heaterLine.becomes(t, true, begin, untilOn)
	if got := changes(driven(t, heaterLine)); got != "01" && got != "1" {
		t.Errorf("the heater's line was driven %q, want off, then on once", got)
	}
	if got := changes(driven(t, pumpLine)); got != "0" && got != "" {
		t.Errorf("the pump's line was driven %q, want off alone", got)
	}
	measured(t, "from the daemon's start to the heater's first on", took)
}

// deaths of the daemon, and what shows that it had one.
var deaths = []struct {
	what   string
	signal syscall.Signal
}{
	{"end signal (SIGTERM)", syscall.SIGTERM},
	{"kill -9", syscall.SIGKILL},
	{"crash (SIGABRT, as the service manager ends one that hangs)", syscall.SIGABRT},
	{"stopped (SIGSTOP, like a hang)", syscall.SIGSTOP},
}

// TestDeathsUnderTheGuard: whatever happens to the daemon, the heater is off
// within 2 s, though the board would leave its line on.
func TestDeathsUnderTheGuard(t *testing.T) {
	heaterLine.rests(t, "up")
	defer heaterLine.rests(t, "down")
	h := guarded(t)
	g := h.guard()
	for _, d := range deaths {
		daemon := h.daemon()
		heats(t)
		record(t)
		took := heaterLine.becomes(t, false, daemon.signal(d.signal), mostTime)
		measured(t, "guard, "+d.what, took)
		if got := changes(driven(t, heaterLine)); got != "0" && got != "10" {
			t.Errorf("%s: the heater's line was driven %q, want off once and for all", d.what, got)
		}
		if d.signal == syscall.SIGSTOP {
			daemon.signal(syscall.SIGCONT)
			daemon.awaits("nobody asked for it", 10*time.Second)
			heats(t) // it goes on
			daemon.signal(syscall.SIGKILL)
		}
		daemon.ends(10 * time.Second)
	}
	panicky := launchPanicky(t, h.file)
	heats(t)
	panicky.signal(syscall.SIGUSR1)
	panicky.awaits(breaksNow, 5*time.Second)
	took := heaterLine.becomes(t, false, time.Now(), mostTime)
	measured(t, "guard, panic inside a tick", took)
	panicky.ends(10 * time.Second)
	if !strings.Contains(panicky.said.String(), "a clock of straw") {
		t.Errorf("it ended otherwise:\n%s", panicky.said)
	}
	g.signal(syscall.SIGTERM)
	g.ends(10 * time.Second)
}

// TestDeathsWithoutAGuard shows why there is a guard, and what the stop hook is
// worth. On a board whose lines rest low all goes well by itself.
func TestDeathsWithoutAGuard(t *testing.T) {
	h := unguarded(t)
	daemon := h.daemon()
	heats(t)
	took := heaterLine.becomes(t, false, daemon.signal(syscall.SIGKILL), mostTime)
	measured(t, "no guard, kill -9, lines that rest low", took)
	daemon.ends(10 * time.Second)

	daemon = h.daemon()
	heats(t)
	heaterLine.rests(t, "up")
	defer heaterLine.rests(t, "down")
	killed := daemon.signal(syscall.SIGKILL)
	daemon.ends(10 * time.Second)
	if !heaterLine.high(t) {
		t.Error("the line does not stay on, as it was to")
	}
	// The service manager runs the hook at once; what it holds goes off, and stays
	// so on boards that keep what was driven. This one is pulled up again after it.
	record(t)
	h.off()
	measured(t, "no guard, kill -9, lines that stay on, with the stop hook", time.Since(killed))
	if got := changes(driven(t, heaterLine)); got != "0" {
		t.Errorf("the hook has driven %q, want off alone", got)
	}
}

// TestTheGuardDies: the daemon says so, drives nothing, and goes on with the next
// guard.
func TestTheGuardDies(t *testing.T) {
	h := guarded(t)
	g := h.guard()
	daemon := h.daemon()
	heats(t)
	took := heaterLine.becomes(t, false, g.signal(syscall.SIGKILL), mostTime)
	measured(t, "the guard itself, kill -9, lines that rest low", took)
	daemon.awaits("there is no guard", 10*time.Second)
	daemon.awaits("finding: An output can't be switched", 20*time.Second)
	g.ends(time.Second)
	g = h.guard()
	heats(t)
	daemon.awaits("can be driven again", 10*time.Second)

	took = heaterLine.becomes(t, false, g.signal(syscall.SIGTERM), mostTime)
	measured(t, "the guard itself, end signal", took)
	g.ends(10 * time.Second)

	g = h.guard()
	heats(t)
	g.signal(syscall.SIGSTOP)
	daemon.awaits("does not answer", 10*time.Second)
	took = heaterLine.becomes(t, false, g.signal(syscall.SIGKILL), mostTime) // by its watchdog
	measured(t, "the guard itself, stopped, from its watchdog's kill", took)
}

// TestPulses: on a board that leaves its lines as they are, and without a guard,
// the pulses end with the program.
func TestPulses(t *testing.T) {
	heaterLine.rests(t, "up")
	defer heaterLine.rests(t, "down")
	h := newHouse(t, "", `pulses = "10 Hz"`)
	for _, d := range deaths[1:] {
		record(t)
		daemon := h.daemon()
		for until := time.Now().Add(untilOn); len(driven(t, heaterLine)) < 20; time.Sleep(10 * time.Millisecond) {
			if time.Now().After(until) {
				t.Fatalf("no pulses: %v", driven(t, heaterLine))
			}
		}
		took := heaterLine.settles(t, daemon.signal(d.signal), mostTime)
		measured(t, "pulses, no guard, until the last one: "+d.what, took)
		_ = daemon.cmd.Process.Kill() // the one that is stopped
		daemon.ends(10 * time.Second)
	}
}

// TestProbesThatFail: the heater goes off once its reading is too old, each time,
// and comes on again when the probe is well.
func TestProbesThatFail(t *testing.T) {
	h := guarded(t)
	h.guard()
	h.daemon()
	for _, f := range []struct {
		what       string
		fail, heal func()
	}{
		{"absent", func() { probes(t, "fault", 0, 1, 0) }, func() { probes(t, "fault", 0, 0, 0) }},
		{"with damaged checksums", func() { probes(t, "fault", 0, 2, 0) }, func() { probes(t, "fault", 0, 0, 0) }},
		{"on a shorted bus", func() { write(t, bus+"shorted", "1") }, func() { write(t, bus+"shorted", "0") }},
	} {
		heats(t)
		f.fail()
		defer f.heal()
		took := heaterLine.becomes(t, false, time.Now(), 20*time.Second)
		measured(t, "probe of the tank's top "+f.what+", with a reading limit of 5 s", took)
		f.heal()
	}
	heats(t)
}

// TestOnlyOneOwner: a second program is refused by name, and so is root.
func TestOnlyOneOwner(t *testing.T) {
	h := guarded(t)
	g := h.guard()
	other := unguarded(t)
	second := other.daemon()
	second.ends(20 * time.Second)
	for _, words := range []string{"another program", fmt.Sprintf("sunstoker@%d", g.cmd.Process.Pid), "HEATER"} {
		if !strings.Contains(second.said.String(), words) {
			t.Errorf("a second program is not told %q:\n%s", words, second.said)
		}
	}
	if second.err == nil {
		t.Error("a second program ends with success")
	}

	root := launch(t, 0, binary, "run", other.file)
	root.ends(20 * time.Second)
	if !strings.Contains(root.said.String(), "the root user must not drive real outputs") {
		t.Errorf("root is told:\n%s", root.said)
	}
}
