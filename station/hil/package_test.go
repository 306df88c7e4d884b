//go:build hil

package hil

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// The trial of the package runs as a service of a Debian with systemd and udev, see
// guest/unit/trial.service. This variable names the site file that is to be written
// for it, when its disk is made.
const writesSite = "SUNSTOKER_WRITES_SITE"

const (
	packageFile = "/sunstoker.deb"
	siteFile    = "/etc/sunstoker/site.toml"
	stateFolder = "/var/lib/sunstoker"
	bulkFile    = "/sys/bus/w1/devices/w1_bus_master1/therm_bulk_read"
	gpioFile    = "/dev/gpiochip0"

	untilBooted = 3 * time.Minute

	// Without a guard a hung daemon keeps its outputs until its watchdog (WatchdogSec in
	// sunstoker.service) and the stop hook have done their work.
	mostHung = 22 * time.Second
)

// underServices tells whether this is the trial of the package.
func underServices() bool { return os.Getenv("NOTIFY_SOCKET") != "" }

// packageSite is the site file that the package meets.
func packageSite() string { return siteOf(stateFolder, `guard = "`+socket+`"`, "") }

// recording lets the service manager go on, to what is to be recorded.
func recording() error {
	c, err := net.Dial("unixgram", os.Getenv("NOTIFY_SOCKET"))
	if err != nil {
		return err
	}
	_, err = c.Write([]byte("READY=1"))
	return errors.Join(err, c.Close())
}

// service is one of the package's.
type service string

const (
	theDaemon service = "sunstoker.service"
	theGuard  service = "sunstoker-guard.service"
)

func (s service) known() string {
	if s == theGuard {
		return "the guard"
	}
	return "the daemon"
}

// property is what the service manager knows of it.
func (s service) property(t *testing.T, name string) string {
	t.Helper()
	return does(t, "systemctl", "show", "--value", "-p", name, string(s))
}

// starts counts those after a failure, since a person started it.
func (s service) starts(t *testing.T) int {
	t.Helper()
	n, err := strconv.Atoi(s.property(t, "NRestarts"))
	must(t, err)
	return n
}

// fed is when its last beat arrived, in the kernel's time that goes by.
func (s service) fed(t *testing.T) time.Duration {
	t.Helper()
	at, err := strconv.ParseInt(s.property(t, "WatchdogTimestampMonotonic"), 10, 64)
	must(t, err)
	return time.Duration(at) * time.Microsecond
}

func (s service) pid(t *testing.T) int {
	t.Helper()
	pid, err := strconv.Atoi(s.property(t, "MainPID"))
	must(t, err)
	if pid == 0 {
		t.Fatalf("%s does not run", s)
	}
	return pid
}

// signal sends it to the process, and gives the time at which it did.
func (s service) signal(t *testing.T, what syscall.Signal) time.Time {
	t.Helper()
	pid := s.pid(t)
	did(s.known() + " gets " + signalWords[what])
	at := time.Now()
	must(t, syscall.Kill(pid, what))
	return at
}

// journal is what it and the service manager have said of it since a time.
func (s service) journal(t *testing.T, since time.Time) string {
	t.Helper()
	return does(t, "journalctl", "-q", "--no-pager", "-o", "cat", "-u", string(s), "--since", since.Format("2006-01-02 15:04:05"))
}

// does runs a command of the system, and gives what it wrote.
func does(t *testing.T, name string, args ...string) string {
	t.Helper()
	said, err := exec.Command(name, args...).CombinedOutput()
	if err != nil {
		t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, said)
	}
	return strings.TrimSpace(string(said))
}

// tellsOnFailure shows both journals when the test has failed.
func tellsOnFailure(t *testing.T) {
	begun := time.Now()
	t.Cleanup(func() {
		if t.Failed() {
			t.Logf("the daemon's journal:\n%s\nthe guard's:\n%s", theDaemon.journal(t, begun), theGuard.journal(t, begun))
		}
	})
}

// owned holds the owner, the group and the rights of a file against "root gpio 0660".
func owned(t *testing.T, path, want string) {
	t.Helper()
	info, err := os.Stat(path)
	must(t, err)
	is := info.Sys().(*syscall.Stat_t)
	owner, err := user.LookupId(fmt.Sprint(is.Uid))
	must(t, err)
	group, err := user.LookupGroupId(fmt.Sprint(is.Gid))
	must(t, err)
	if got := fmt.Sprintf("%s %s %04o", owner.Username, group.Name, info.Mode().Perm()); got != want {
		t.Errorf("%s is %q, want %q", path, got, want)
	}
}

// given holds what the device rules of the package give away.
func given(t *testing.T) {
	t.Helper()
	owned(t, gpioFile, "root gpio 0660")
	owned(t, bulkFile, "root sunstoker 0664")
}

// TestPackageStartsWithTheBoard: what a person has enabled begins by itself, as its
// own user and without any right of root's, and no line is high that nobody asked for.
func TestPackageStartsWithTheBoard(t *testing.T) {
	tellsOnFailure(t)
	appears(t, bulkFile)
	sun(t)
	heaterLine.becomes(t, true, time.Now(), untilBooted)
	measured(t, "from the kernel's start to the heater's first on, with systemd", sinceBoot(t))
	pumpLine.becomes(t, true, time.Now(), untilOn)
	for _, l := range []line{pumpLine, heaterLine} {
		if got := changes(driven(t, l)); got != "01" && got != "1" {
			t.Errorf("%s was driven %q, want off, then on once", lineNames[l], got)
		}
	}
	for _, s := range []service{theDaemon, theGuard} {
		if n := s.starts(t); n != 0 {
			t.Errorf("%s needed %d starts more than one:\n%s", s, n, s.journal(t, time.Unix(0, 0)))
		}
		status := read(t, fmt.Sprintf("/proc/%d/status", s.pid(t)))
		owner, err := user.Lookup("sunstoker")
		must(t, err)
		for _, words := range []string{"Uid:\t" + owner.Uid + "\t", "CapEff:\t0000000000000000\n", "NoNewPrivs:\t1\n", "Seccomp:\t2\n"} {
			if !strings.Contains(status, words) {
				t.Errorf("%s has no %q:\n%s", s, words, status)
			}
		}
		group, err := user.LookupGroup("gpio")
		must(t, err)
		if groups := strings.Fields(field(status, "Groups:")); !slices.Contains(groups, group.Gid) {
			t.Errorf("%s is in the groups %v, want %s among them", s, groups, group.Gid)
		}
	}
}

// appears waits for a file.
func appears(t *testing.T, path string) {
	t.Helper()
	for until := time.Now().Add(untilBooted); ; time.Sleep(50 * time.Millisecond) {
		if _, err := os.Stat(path); err == nil {
			return
		}
		if time.Now().After(until) {
			t.Fatalf("there is no %s", path)
		}
	}
}

// sinceBoot is how long the kernel has been there.
func sinceBoot(t *testing.T) time.Duration {
	t.Helper()
	up, err := strconv.ParseFloat(strings.Fields(read(t, "/proc/uptime"))[0], 64)
	must(t, err)
	return time.Duration(up * float64(time.Second))
}

// field is what stands behind a word of a text, up to the end of its line.
func field(text, name string) string {
	_, rest, _ := strings.Cut(text, name)
	value, _, _ := strings.Cut(rest, "\n")
	return value
}

// TestPackageFilesAndDevices: what nobody else needs is the service's alone, and of
// the devices it has what the rules say.
func TestPackageFilesAndDevices(t *testing.T) {
	given(t)
	owned(t, "/sys/bus/w1/devices/w1_bus_master1/w1_master_add", "root root 0664")
	owned(t, siteFile, "root root 0644")
	owned(t, stateFolder, "sunstoker sunstoker 0700")
	owned(t, filepath.Dir(socket), "sunstoker sunstoker 0700")
	var files []string
	must(t, filepath.WalkDir(stateFolder, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		files = append(files, filepath.Base(path))
		owned(t, path, "sunstoker sunstoker 0600")
		return nil
	}))
	if len(files) < 2 {
		t.Errorf("the state folder holds %q, want state and history", files)
	}
}

// TestPackageConvertsTogether: with the unit's rights all probes are told to convert
// at once, and none alone.
func TestPackageConvertsTogether(t *testing.T) {
	count := func(what string) int {
		n, err := strconv.Atoi(read(t, bus+what))
		must(t, err)
		return n
	}
	together, alone := count("together"), count("alone")
	const watched = 10 * time.Second
	time.Sleep(watched)
	together, alone = count("together")-together, count("alone")-alone
	if together < 5 || alone > 0 {
		t.Errorf("in %v all probes were told to convert %d times, and single ones %d times", watched, together, alone)
	}
}

// TestPackageWatchdog: the service manager has armed the board's watchdog, and the
// daemon sees it; the guard's own waits as the trial without services takes it to.
func TestPackageWatchdog(t *testing.T) {
	if got := theGuard.property(t, "WatchdogUSec"); got != guardMissed.String() {
		t.Errorf("the guard is missed after %s, want %v", got, guardMissed)
	}
	if state, limit := read(t, watchdogFolder+"state"), read(t, watchdogFolder+"timeout"); state != "active" || limit != "14" {
		t.Errorf("the watchdog is %s and waits for %s s, want active and 14", state, limit)
	}
	if said := theDaemon.journal(t, time.Unix(0, 0)); strings.Contains(said, "watchdog") {
		t.Errorf("the daemon speaks of a watchdog:\n%s", said)
	}
}

// TestPackageDeaths: whatever ends the daemon, both outputs are off within 2 s, though
// the board would leave its lines on, and the service manager starts it again.
func TestPackageDeaths(t *testing.T) {
	scene("the services: deaths of the daemon under the guard, with lines that stay on when nobody holds them")
	tellsOnFailure(t)
	sun(t)
	bothRest(t, "up")
	defer bothRest(t, "down")
	for _, d := range deaths {
		works(t)
		record(t)
		ended := theDaemon.signal(t, d.signal)
		died(t, "the services, the daemon under the guard: "+d.what, bothOff(t, ended))
		works(t)
		measured(t, "the services: from the daemon's end by "+signalWords[d.signal]+" until its next start has both on", time.Since(ended))
		if got := changes(driven(t, heaterLine)); got != "01" {
			t.Errorf("%s: the heater's line was driven %q, want off, and on once", d.what, got)
		}
	}
}

// TestPackageGuardDies: the hook of the guard's service, and its next start. Lines that
// rest low fall when the guard is gone; others stay on until the hook drives them off.
func TestPackageGuardDies(t *testing.T) {
	scene("the services: deaths of the guard")
	tellsOnFailure(t)
	sun(t)
	defer bothRest(t, "down")
	for _, rest := range []struct {
		where, what string
		off         func(*testing.T, time.Time) time.Duration
	}{
		{"down", "lines that rest low", bothOff},
		{"up", "lines that stay on, until the stop hook drives off", drivenOff},
	} {
		for _, d := range []struct {
			what   string
			signal syscall.Signal
		}{{"kill -9", syscall.SIGKILL}, {"stopped (SIGSTOP, like a hang)", syscall.SIGSTOP}} {
			bothRest(t, rest.where)
			worksAnew(t, theGuard)
			before := theGuard.starts(t)
			record(t)
			ended := theGuard.signal(t, d.signal)
			var fed time.Duration
			if d.signal == syscall.SIGSTOP {
				fed = theGuard.fed(t)
			}
			died(t, "the services, the guard itself, "+rest.what+": "+d.what, rest.off(t, ended))
			if d.signal == syscall.SIGSTOP { // that it hangs right after a beat is the worst
				died(t, "the services, the guard itself, "+rest.what+": hung right after its last beat", sinceBoot(t)-fed)
			}
			worksAnew(t, theGuard)
			if n := theGuard.starts(t) - before; n != 1 {
				t.Errorf("%s: the guard was started %d times, want once", d.what, n)
			}
		}
	}
}

// TestPackageOnABusyBoard: work that fills the processor, in many sessions that each have
// a share of it, lets no watchdog bark, and drops no output.
func TestPackageOnABusyBoard(t *testing.T) {
	scene("the services: the board's one processor is wanted by others")
	tellsOnFailure(t)
	sun(t)
	works(t)
	const others, spell = 16, 12 * time.Second
	daemon, guard := theDaemon.pid(t), theGuard.pid(t)
	record(t)
	did(fmt.Sprintf("%d programs that never rest, for %v", others, spell))
	for range others {
		busy := exec.Command("/bin/sh", "-c", "while :; do :; done")
		busy.SysProcAttr = &syscall.SysProcAttr{Setsid: true}
		must(t, busy.Start())
		defer func() {
			_ = busy.Process.Kill()
			_ = busy.Wait() // it was killed
		}()
	}
	time.Sleep(spell)
	if theDaemon.pid(t) != daemon || theGuard.pid(t) != guard {
		t.Errorf("daemon and guard are not those of before:\n%s\n%s", theDaemon.journal(t, time.Now().Add(-spell)), theGuard.journal(t, time.Now().Add(-spell)))
	}
	if got := changes(driven(t, heaterLine)) + changes(driven(t, pumpLine)); strings.Contains(got, "0") {
		t.Errorf("heater and pump were driven %q", got)
	}
}

// TestPackageStops: stopped by a person, both are off, without a failure.
func TestPackageStops(t *testing.T) {
	scene("the services: a person stops them")
	tellsOnFailure(t)
	sun(t)
	works(t)
	did("systemctl stop, of both")
	begun := time.Now()
	stopping := exec.Command("systemctl", "stop", string(theDaemon), string(theGuard))
	must(t, stopping.Start())
	died(t, "the services: systemctl stop", bothOff(t, begun))
	must(t, stopping.Wait())
	for _, s := range []service{theDaemon, theGuard} {
		if state, result := s.property(t, "ActiveState"), s.property(t, "Result"); state != "inactive" || result != "success" {
			t.Errorf("%s is %s, its result %s", s, state, result)
		}
	}
	did("systemctl start, of both")
	does(t, "systemctl", "start", string(theGuard), string(theDaemon))
	works(t)
}

// TestPackageUpgrade: the new program takes over from the one that runs.
func TestPackageUpgrade(t *testing.T) {
	scene("the services: an upgrade while they run")
	tellsOnFailure(t)
	sun(t)
	works(t)
	before := theDaemon.pid(t)
	did("dpkg installs the package over the one that is there")
	does(t, "dpkg", "-i", packageFile)
	works(t)
	if theDaemon.pid(t) == before {
		t.Error("the daemon is still the one from before")
	}
}

// TestPackageRemoved: the package is taken away while heater and pump are on.
func TestPackageRemoved(t *testing.T) {
	scene("the services: the package is removed while they run, and put back")
	tellsOnFailure(t)
	sun(t)
	works(t)
	did("dpkg removes the package")
	begun := time.Now()
	removing := exec.Command("dpkg", "-r", "sunstoker")
	must(t, removing.Start())
	took := max(heaterLine.becomes(t, false, begun, untilOn), pumpLine.becomes(t, false, begun, untilOn))
	measured(t, "the services: dpkg -r, dpkg's own work included", took)
	must(t, removing.Wait())
	owned(t, siteFile, "root root 0644")

	// As if no rule had ever been there.
	must(t, os.Chown(bulkFile, 0, 0))
	must(t, os.Chmod(bulkFile, 0o644))
	must(t, os.Chown(gpioFile, 0, 0))
	must(t, os.Chmod(gpioFile, 0o600))
	record(t)
	did("dpkg installs the package")
	does(t, "dpkg", "-i", packageFile)
	does(t, "udevadm", "settle")
	given(t)
	if got := driven(t, heaterLine); len(got) > 0 {
		t.Errorf("put back, it drives the heater %q before anybody has enabled it", got)
	}
	did("systemctl enable --now, of both")
	does(t, "systemctl", "--quiet", "enable", "--now", string(theGuard), string(theDaemon))
	works(t)
}

// TestPackageWithoutGuard: what the hook of the daemon's service is worth alone. The
// simulated chip pulls its lines up again after it; a board that keeps what was
// driven does not.
func TestPackageWithoutGuard(t *testing.T) {
	scene("the services: deaths of the daemon without a guard, with lines that stay on when nobody holds them")
	tellsOnFailure(t)
	sun(t)
	write(t, siteFile, siteOf(stateFolder, "", ""))
	defer func() { must(t, os.WriteFile(siteFile, []byte(packageSite()), 0o644)) }()
	record(t)
	did("the site file names no guard any more, systemctl restart of both")
	does(t, "systemctl", "restart", string(theGuard), string(theDaemon))
	bothRest(t, "up")
	defer bothRest(t, "down")
	for _, d := range []struct {
		what   string
		signal syscall.Signal
		bound  time.Duration
	}{{"kill -9", syscall.SIGKILL, mostTime}, {"stopped (SIGSTOP, like a hang)", syscall.SIGSTOP, mostHung}} {
		worksAnew(t, theDaemon)
		before := theDaemon.starts(t)
		record(t) // what follows is what the hook drives, and the next start
		ended := theDaemon.signal(t, d.signal)
		bounded(t, "the services, the daemon without a guard, until the stop hook drives off: "+d.what, drivenOff(t, ended), d.bound)
		worksAnew(t, theDaemon)
		if n := theDaemon.starts(t) - before; n != 1 {
			t.Errorf("%s: the daemon was started %d times, want once", d.what, n)
		}
		// By the program that ended and by the hook: a guard that has nothing to hold
		// takes no line from the daemon's next start.
		if n := givenBack(t, heaterLine); n != 2 {
			t.Errorf("%s: the heater's line was given back %d times, want twice", d.what, n)
		}
	}
	must(t, os.WriteFile(siteFile, []byte(packageSite()), 0o644))
	did("the site file names its guard again, systemctl restart")
	does(t, "systemctl", "restart", string(theGuard), string(theDaemon))
}

// worksAnew waits until a start that follows has driven both on.
func worksAnew(t *testing.T, s service) {
	t.Helper()
	for until := time.Now().Add(untilOn); ; time.Sleep(20 * time.Millisecond) {
		if s.property(t, "SubState") == "running" && last(driven(t, heaterLine)) == "1" && last(driven(t, pumpLine)) == "1" {
			return
		}
		if time.Now().After(until) {
			t.Fatalf("heater and pump were driven %q and %q", driven(t, heaterLine), driven(t, pumpLine))
		}
	}
}

func last(levels []string) string {
	if len(levels) == 0 {
		return ""
	}
	return levels[len(levels)-1]
}

// drivenOff waits until somebody has driven both off since record, and gives the time
// from an instant until then.
func drivenOff(t *testing.T, since time.Time) time.Duration {
	t.Helper()
	for until := time.Now().Add(untilOn); ; time.Sleep(time.Millisecond) {
		if slices.Contains(driven(t, heaterLine), "0") && slices.Contains(driven(t, pumpLine), "0") {
			return time.Since(since)
		}
		if time.Now().After(until) {
			t.Fatal("nobody drives both off")
		}
	}
}

// TestPackageOnARestartedBoard is the last: the board is started anew while heater
// and pump are on.
func TestPackageOnARestartedBoard(t *testing.T) {
	scene("the services: the board is started anew")
	tellsOnFailure(t)
	sun(t)
	works(t)
	did("systemctl reboot")
	begun := time.Now()
	does(t, "systemctl", "--no-block", "reboot")
	died(t, "the services: systemctl reboot", bothOff(t, begun))
}
