package history

import (
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// mostWearBytes is what a day may wear the card by.
const mostWearBytes = 5e6

// ioBytes are the kernel's counts for this process (proc(5): wchar is what was
// handed to write calls, write_bytes what was to go to the storage, in pages of
// 4 KiB, each counted again once it was written out and changed anew).
func ioBytes(t *testing.T) (handed, pages int64) {
	t.Helper()
	text, err := os.ReadFile("/proc/self/io")
	if err != nil {
		t.Skip("the kernel does not count what a process writes here: ", err)
	}
	for line := range strings.Lines(string(text)) {
		var n int64
		if _, err := fmt.Sscanf(line, "wchar: %d", &n); err == nil {
			handed = n
		}
		if _, err := fmt.Sscanf(line, "write_bytes: %d", &n); err == nil {
			pages = n
		}
	}
	return handed, pages
}

// busyDay is a day with much to tell: sun that comes and goes, a pump that
// switches, a heater in the morning and evening, some findings.
func busyDay(h *house, span time.Duration, each func()) {
	minute := 0
	for h.tick.At < span {
		hour := float64(minute%1440) / 60
		sun := max(0, math.Sin((hour-6)/12*math.Pi))
		h.read(0, 15+60*sun+float64(minute%7))
		h.read(1, 48+10*sun+0.3*float64(minute%3))
		h.read(2, 35+15*sun)
		on := 0.0
		if sun > 0.2 && minute%12 < 9 {
			on = 1
		}
		h.decide(0, on, control.Comfort, map[bool]control.Words{true: control.SaysLoopGains, false: control.SaysLoopNoGain}[on > 0], 61, 36)
		heats := hour > 5 && hour < 6 || hour > 18 && hour < 19
		h.decide(1, map[bool]float64{true: 1, false: 0}[heats], control.Comfort, map[bool]control.Words{true: control.SaysHeaterHeating, false: control.SaysHeaterWarm}[heats], 48, 50)
		h.tick.Findings = nil
		if minute%360 > 300 {
			h.tick.Findings = []control.Finding{{Kind: control.FoundStagnation, System: 0, Evidence: control.Reason{Words: control.SawStagnation, Values: [3]float64{141, 1900}}}}
		}
		h.pass(time.Minute, func(t *tick.Tick) {
			e := &t.Systems[0].Energy
			e.SunJ += 2000 * sun
			e.TankLossJ += 60
			e.DrawnJ += 200
			e.PumpJ += 40 * on
			if heats {
				e.MeterJ += 2000
			}
		})
		minute++
		each()
	}
}

// diskBytes is what a whole disk has written since the start of the machine, where
// the environment names its counter, such as /sys/block/vda/stat (the kernel's
// Documentation/block/stat: the seventh figure is sectors of 512 bytes). That is
// for a machine in which nobody else writes: see the script wear beside this file.
func diskBytes(t *testing.T) int64 {
	t.Helper()
	counter := os.Getenv("SUNSTOKER_DISK")
	if counter == "" {
		return 0
	}
	unix.Sync()
	text, err := os.ReadFile(counter)
	if err != nil {
		t.Fatal(err)
	}
	sectors, err := strconv.ParseInt(strings.Fields(string(text))[6], 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return sectors * 512
}

// TestProofADayOfWear counts what a busy day writes, with the storage made to keep
// every write before the next one comes, as it does within half a minute.
func TestProofADayOfWear(t *testing.T) {
	if testing.Short() {
		t.Skip("a long one")
	}
	h := newHouse(t, t.TempDir())
	days := 2
	if os.Getenv("SUNSTOKER_PROOF") != "" || os.Getenv("SUNSTOKER_DISK") != "" {
		days = 6 // the log is carried over into the file once in a while
	}
	writes := 0
	handed, pages := ioBytes(t)
	disk := diskBytes(t)
	busyDay(h, time.Duration(days)*24*time.Hour, func() {
		select {
		case <-h.h.wake:
			h.write()
			writes++
			settle(t, h.h.path)
		default:
		}
	})
	h.sound()
	t.Logf("proof: history: transactions in a day = %d", writes/days)
	handedNow, pagesNow := ioBytes(t)
	for _, c := range []struct {
		what  string
		bytes int64
	}{
		{"handed to the kernel", handedNow - handed},
		{"blocks of the file written", pagesNow - pages},
		{"blocks written with the file system's own", diskBytes(t) - disk},
	} {
		if c.bytes == 0 {
			continue // nobody counts it here
		}
		aDay := float64(c.bytes) / float64(days)
		t.Logf("proof: history: %s in a day = %.2f MB", c.what, aDay/1e6)
		if aDay > mostWearBytes {
			t.Errorf("%s: %.2f MB a day are more than %.0f", c.what, aDay/1e6, mostWearBytes/1e6)
		}
	}
	h.stop()
}

// settle makes the storage keep what was written.
func settle(t *testing.T, path string) {
	for _, name := range []string{path, path + "-wal"} {
		f, err := os.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		if err := unix.Fdatasync(int(f.Fd())); err != nil {
			t.Fatal(err)
		}
		if err := f.Close(); err != nil {
			t.Fatal(err)
		}
	}
}
