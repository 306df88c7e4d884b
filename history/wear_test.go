package history

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// mostWearBytes is what a day may wear the card by.
const mostWearBytes = 5 << 20

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

// TestProofADayOfWear counts what a busy day writes, with the storage made to keep
// every write before the next one comes, as it does within half a minute.
func TestProofADayOfWear(t *testing.T) {
	if testing.Short() {
		t.Skip("a long one")
	}
	h := newHouse(t, t.TempDir())
	days := 4 * 24 * time.Hour // the log is carried over into the file once in a while
	writes := 0
	handed0, pages0 := ioBytes(t)
	busyDay(h, days, func() {
		select {
		case <-h.h.wake:
			h.write()
			writes++
			settle(t, h.h.path)
		default:
		}
	})
	handed, pages := ioBytes(t)
	h.sound()
	h.stop()
	perDay := func(n int64) float64 { return float64(n) / days.Hours() * 24 / (1 << 20) }
	t.Logf("proof: history: transactions in a day = %d", int(float64(writes)/days.Hours()*24))
	t.Logf("proof: history: handed to the kernel in a day = %.2f MiB", perDay(handed-handed0))
	t.Logf("proof: history: pages of 4 KiB written in a day = %.2f MiB", perDay(pages-pages0))
	if perDay(max(handed-handed0, pages-pages0)) > mostWearBytes/(1<<20) {
		t.Errorf("a day wears the card by %.1f MiB", perDay(max(handed-handed0, pages-pages0)))
	}
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
