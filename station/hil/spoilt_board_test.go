//go:build hil

package hil

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// TestTheBusHangs: whoever asks it does not come back, in the kernel, where no signal
// reaches. The bus is named, the heater goes off when its reading is too old, and a
// daemon that is killed meanwhile can't even end; its guard drops the heater.
func TestTheBusHangs(t *testing.T) {
	scene("the bus of the probes hangs in the kernel, with a reading limit of 5 s")
	hangs := func(is string) {
		did("the bus " + map[string]string{"1": "hangs", "0": "answers"}[is])
		write(t, bus+"hangs", is)
	}
	defer write(t, bus+"hangs", "0")
	h := guarded(t)
	h.guard()
	daemon := h.daemon()
	heats(t)
	hangs("1")
	since := time.Now()
	measured(t, "the bus of the probes hangs, with a reading limit of 5 s", heaterLine.becomes(t, false, since, 20*time.Second))
	daemon.awaits("finding: A probe bus hangs", 20*time.Second)
	measured(t, "the bus of the probes hangs, until it is told", time.Since(since))
	hangs("0")
	heats(t)

	hangs("1")
	time.Sleep(1500 * time.Millisecond) // until somebody asks it; the reading is good yet
	killed := daemon.signal(syscall.SIGKILL)
	died(t, "the daemon under the guard: kill -9 while its bus hangs", heaterLine.becomes(t, false, killed, mostTime))
	select {
	case <-daemon.done:
		t.Error("the daemon has ended: nothing hung")
	case <-time.After(mostTime):
	}
	hangs("0")
	daemon.ends(10 * time.Second)
}

// TestTheClockJumps: what is measured in time that goes by is not touched by it.
func TestTheClockJumps(t *testing.T) {
	scene("the board's clock is set while the heater is on")
	h := guarded(t)
	h.edit("coldest = ", "battery_clock = true\ncoldest = ")
	h.guard()
	daemon := h.daemon()
	heats(t)
	record(t)
	now := time.Now()
	defer func() { setClock(t, now) }()
	for _, jump := range []struct {
		what string
		to   time.Time
	}{{"ten years back", now.AddDate(-10, 0, 0)}, {"an hour on from now", now.Add(time.Hour)}, {"to the second day of 1970", time.Unix(24*60*60, 0)}} {
		did("the clock is set " + jump.what)
		setClock(t, jump.to)
		time.Sleep(5 * time.Second)
	}
	daemon.awaits("the wall clock jumped", time.Second)
	if got := changes(driven(t, heaterLine)); got != "1" || !heaterLine.high(t) {
		t.Errorf("the heater's line was driven %q, want on alone", got)
	}
	died(t, "the daemon under the guard, in 1970: kill -9", heaterLine.becomes(t, false, daemon.signal(syscall.SIGKILL), mostTime))
	daemon.ends(10 * time.Second)
	h.daemon().awaits("the state of before was taken up", 20*time.Second)
	heats(t)
}

func setClock(t *testing.T, to time.Time) {
	t.Helper()
	at := unix.NsecToTimespec(to.UnixNano())
	must(t, unix.ClockSettime(unix.CLOCK_REALTIME, &at))
}

// TestTheStorageFails: a state folder that is read-only or full stops neither a start
// nor the heater, is told, and is used again once it is well.
func TestTheStorageFails(t *testing.T) {
	for _, f := range []struct {
		what       string
		fail, heal func(folder string) error
	}{
		{"read-only", remount(unix.MS_RDONLY), remount(0)},
		{"full", fill, func(folder string) error { return os.Remove(filepath.Join(folder, "filler")) }},
	} {
		t.Run(f.what, func(t *testing.T) {
			scene("the storage of the state is " + f.what)
			h := guarded(t)
			must(t, unix.Mount("none", h.state(), "tmpfs", 0, tmpfsOptions))
			defer func() { _ = unix.Unmount(h.state(), unix.MNT_DETACH) }()
			h.guard()
			must(t, f.fail(h.state()))
			daemon := h.daemon()
			heats(t)
			daemon.awaits("the state could not be saved", 2*time.Minute)
			did("the storage is well")
			must(t, f.heal(h.state()))
			daemon.awaits("the state can be saved again", 2*time.Minute)
			if !heaterLine.high(t) {
				t.Error("the heater has gone off meanwhile")
			}
			must(t, f.fail(h.state()))
			killed := daemon.signal(syscall.SIGKILL)
			died(t, "the daemon under the guard, while its storage is "+f.what+": kill -9", heaterLine.becomes(t, false, killed, mostTime))
			daemon.ends(10 * time.Second)
			h.daemon().awaits("the state of before was taken up", 20*time.Second)
			heats(t)
		})
	}
}

// tmpfsOptions give room for a few states, to the user who runs the daemon.
const tmpfsOptions = "size=64k,mode=700,uid=1000,gid=1000"

func remount(flags uintptr) func(string) error {
	return func(folder string) error {
		return unix.Mount("none", folder, "tmpfs", unix.MS_REMOUNT|flags, tmpfsOptions)
	}
}

// fill writes until there is no room.
func fill(folder string) error {
	f, err := os.Create(filepath.Join(folder, "filler"))
	for err == nil {
		_, err = f.Write(make([]byte, 4096))
	}
	if errors.Is(err, unix.ENOSPC) {
		return f.Close()
	}
	return err
}
