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

	guardMissed = 900 * time.Millisecond // WatchdogSec in sunstoker-guard.service
)

// figures are those of the table that is printed at the end.
var figures []Figure

// measured adds a figure.
func measured(t *testing.T, what string, took time.Duration) { bounded(t, what, took, 0) }

// died adds the time from a death until the outputs were off.
func died(t *testing.T, what string, took time.Duration) { bounded(t, what, took, mostTime) }

func bounded(t *testing.T, what string, took, most time.Duration) {
	t.Helper()
	t.Logf("%s: %v", what, took)
	figures = append(figures, Figure{what, took, most})
	if most > 0 && took > most {
		t.Errorf("%s: %v, want %v", what, took, most)
	}
}

// heats brings the house to the point at which the heater is on.
func heats(t *testing.T) {
	t.Helper()
	heaterLine.becomes(t, true, time.Now(), untilOn)
}

// works brings the house to the point at which heater and pump are on.
func works(t *testing.T) {
	t.Helper()
	heats(t)
	pumpLine.becomes(t, true, time.Now(), untilOn)
}

// sun warms the collector until the test ends, so that the pump has work to do.
func sun(t *testing.T) {
	probes(t, "milli_celsius", 60000, 20000, 20000)
	t.Cleanup(func() { probes(t, "milli_celsius", 20000, 20000, 20000) })
}

// bothOff waits until heater and pump are off, and gives the time from an instant.
func bothOff(t *testing.T, since time.Time) time.Duration {
	t.Helper()
	return max(heaterLine.becomes(t, false, since, mostTime), pumpLine.becomes(t, false, since, mostTime))
}

// bothRest says where the lines go that nobody holds.
func bothRest(t *testing.T, where string) {
	t.Helper()
	heaterLine.rests(t, where)
	pumpLine.rests(t, where)
}

func TestMain(m *testing.M) {
	if os.Getenv(panicsOnSignal) != "" {
		os.Exit(runPanicky(os.Args[len(os.Args)-1]))
	}
	if file := os.Getenv(writesSite); file != "" {
		if err := os.WriteFile(file, []byte(packageSite()), 0o644); err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	code, err := runAll(m)
	if err == nil {
		err = tables()
	}
	if err != nil {
		fmt.Println(err)
		code = 1
	}
	os.Exit(code)
}

// runAll runs the tests, on the simulated chip with its recorder and its watchdog,
// which under services is theirs.
func runAll(m *testing.M) (code int, err error) {
	if onBoard() {
		return m.Run(), nil
	}
	first, err := firstNumber()
	if err != nil {
		return 0, err
	}
	if kernel, err = startRecorder(first); err != nil {
		return 0, err
	}
	if underServices() {
		scene("the services: the board starts")
		if err := recording(); err != nil {
			return 0, err
		}
		return m.Run(), nil
	}
	feed, err := openWatchdog()
	if err != nil {
		return 0, err
	}
	defer feed.starve()
	return m.Run(), nil
}

// From the guard's start to the daemon's first wish, and up to the end, nothing
// clicks: no line is high that nobody asked for.
func TestStartWithoutAPulse(t *testing.T) {
	scene("a start under the guard, with lines that rest low")
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

// TestStartWithAProbeAbsent: without a reading of the tank's top nothing heats; the
// probe may come later.
func TestStartWithAProbeAbsent(t *testing.T) {
	scene("a start while the probe of the tank's top is absent")
	probes(t, "fault", 0, 1, 0)
	defer probes(t, "fault", 0, 0, 0)
	h := guarded(t)
	h.guard()
	record(t)
	h.daemon()
	time.Sleep(15 * time.Second)
	if got := changes(driven(t, heaterLine)) + changes(driven(t, pumpLine)); strings.Contains(got, "1") {
		t.Errorf("heater and pump were driven %q", got)
	}
	did("the probe is well")
	probes(t, "fault", 0, 0, 0)
	heats(t)
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

// breaks are inside a tick, where no signal reaches.
var breaks = []struct {
	what         string
	signal       syscall.Signal
	says, leaves string
}{
	{"panic inside a tick", syscall.SIGUSR1, breaksNow, "a clock of straw"},
	{"a tick that hangs, while all else goes on", syscall.SIGUSR2, hangsNow, ""},
}

// TestDeathsUnderTheGuard: whatever happens to the daemon, the heater is off
// within 2 s, though the board would leave its line on.
func TestDeathsUnderTheGuard(t *testing.T) {
	scene("deaths of the daemon under the guard, with lines that stay on when nobody holds them")
	sun(t)
	bothRest(t, "up")
	defer bothRest(t, "down")
	h := guarded(t)
	g := h.guard()
	for _, d := range deaths {
		daemon := h.daemon()
		works(t)
		record(t)
		took := bothOff(t, daemon.signal(d.signal))
		died(t, "the daemon under the guard: "+d.what, took)
		if got := changes(driven(t, heaterLine)); got != "0" && got != "10" {
			t.Errorf("%s: the heater's line was driven %q, want off once and for all", d.what, got)
		}
		if d.signal == syscall.SIGSTOP {
			daemon.signal(syscall.SIGCONT)
			daemon.awaits("nobody asked for it", 10*time.Second)
			works(t) // it goes on
			daemon.signal(syscall.SIGKILL)
		}
		daemon.ends(10 * time.Second)
	}
	for _, b := range breaks {
		panicky := launchPanicky(t, h.file)
		works(t)
		panicky.signal(b.signal)
		panicky.awaits(b.says, 5*time.Second)
		died(t, "the daemon under the guard: "+b.what, bothOff(t, time.Now()))
		panicky.signal(syscall.SIGKILL) // the one that hangs
		panicky.ends(10 * time.Second)
		if !strings.Contains(panicky.said.String(), b.leaves) {
			t.Errorf("%s: it ended otherwise:\n%s", b.what, panicky.said)
		}
	}
	g.signal(syscall.SIGTERM)
	g.ends(10 * time.Second)
}

// TestDeathsWithoutAGuard shows why there is a guard, and what the stop hook is
// worth. On a board whose lines rest low all goes well by itself.
func TestDeathsWithoutAGuard(t *testing.T) {
	scene("deaths of the daemon without a guard")
	sun(t)
	h := unguarded(t)
	daemon := h.daemon()
	works(t)
	took := bothOff(t, daemon.signal(syscall.SIGKILL))
	died(t, "the daemon without a guard, lines that rest low: kill -9", took)
	daemon.ends(10 * time.Second)

	daemon = h.daemon()
	works(t)
	bothRest(t, "up")
	defer bothRest(t, "down")
	killed := daemon.signal(syscall.SIGKILL)
	daemon.ends(10 * time.Second)
	if !heaterLine.high(t) {
		t.Error("the line does not stay on, as it was to")
	}
	// The service manager runs the hook at once; what it holds goes off, and stays
	// so on boards that keep what was driven. This one is pulled up again after it.
	record(t)
	h.off()
	died(t, "the daemon without a guard, lines that stay on: kill -9, until the stop hook has ended", time.Since(killed))
	if got := changes(driven(t, heaterLine)); got != "0" {
		t.Errorf("the hook has driven %q, want off alone", got)
	}
}

// TestTheGuardDies: the daemon says so, drives nothing, and goes on with the next
// guard.
func TestTheGuardDies(t *testing.T) {
	scene("deaths of the guard, with lines that rest low")
	sun(t)
	h := guarded(t)
	g := h.guard()
	daemon := h.daemon()
	works(t)
	took := bothOff(t, g.signal(syscall.SIGKILL))
	died(t, "the guard itself, lines that rest low: kill -9", took)
	daemon.awaits("there is no guard", 10*time.Second)
	daemon.awaits("finding: An output can't be switched", 20*time.Second)
	g.ends(time.Second)
	g = h.guard()
	works(t)
	daemon.awaits("can be driven again", 10*time.Second)

	took = bothOff(t, g.signal(syscall.SIGTERM))
	died(t, "the guard itself: end signal (SIGTERM)", took)
	g.ends(10 * time.Second)

	g = h.guard()
	works(t)
	stopped := g.signal(syscall.SIGSTOP)
	daemon.awaits("does not answer", 10*time.Second)
	time.Sleep(guardMissed - time.Since(stopped))
	g.signal(syscall.SIGKILL) // by its watchdog
	died(t, "the guard itself: stopped (SIGSTOP), and killed as by its service's watchdog", bothOff(t, stopped))
}

// TestPulses: on a board that leaves its lines as they are, and without a guard,
// the pulses end with the program.
func TestPulses(t *testing.T) {
	scene("deaths of the daemon without a guard, with a relay that is kept by pulses")
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
		died(t, "the daemon without a guard, until its last pulse: "+d.what, took)
		_ = daemon.cmd.Process.Kill() // the one that is stopped
		daemon.ends(10 * time.Second)
	}
}

// TestProbesThatFail: the heater goes off once its reading is too old, each time,
// and comes on again when the probe is well.
func TestProbesThatFail(t *testing.T) {
	scene("the probe of the tank's top fails, with a reading limit of 5 s")
	h := guarded(t)
	h.guard()
	h.daemon()
	for _, f := range []struct {
		what       string
		fail, heal func()
	}{
		{"absent", func() { probes(t, "fault", 0, 1, 0) }, func() { probes(t, "fault", 0, 0, 0) }},
		{"damaged in its checksums", func() { probes(t, "fault", 0, 2, 0) }, func() { probes(t, "fault", 0, 0, 0) }},
		{"on a shorted bus", func() { write(t, bus+"shorted", "1") }, func() { write(t, bus+"shorted", "0") }},
	} {
		heats(t)
		did("the probe is " + f.what)
		f.fail()
		defer f.heal()
		took := heaterLine.becomes(t, false, time.Now(), 20*time.Second)
		measured(t, "the probe of the tank's top "+f.what+", with a reading limit of 5 s", took)
		did("the probe is well")
		f.heal()
	}
	heats(t)
}

// TestOnlyOneOwner: a second program is refused by name, and so is root.
func TestOnlyOneOwner(t *testing.T) {
	scene("a line that somebody holds already")
	record(t)
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
	if got := changes(driven(t, heaterLine)) + changes(driven(t, pumpLine)); strings.Contains(got, "1") {
		t.Errorf("heater and pump were driven %q", got)
	}

	root := launch(t, 0, binary, "run", other.file)
	root.ends(20 * time.Second)
	if !strings.Contains(root.said.String(), "the root user must not drive real outputs") {
		t.Errorf("root is told:\n%s", root.said)
	}
}
