//go:build hil

package hil

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"syscall"
	"testing"
	"time"

	"sunstoker/sensors/wiretree"
)

// The tests of an emulated board with a real pin controller run where the
// kernel's command line says what becomes of an output whose program is gone:
// keeps=Y, it stays as it was, or keeps=N, the line is freed.
func onBoard() bool { return os.Getenv("keeps") != "" }

const (
	pumpPin   = 17
	heaterPin = 27
)

// board is the house on the board.
func board(t *testing.T) (keeps bool, name string) {
	t.Helper()
	if !onBoard() {
		t.Skip("this is no emulated board")
	}
	wiring.probes, wiring.chip, wiring.ageLimit = "/tmp/w1", "pinctrl-bcm2835", "30 s" // the emulated board is slow
	wiring.pump, wiring.heater = fmt.Sprintf("GPIO%d", pumpPin), fmt.Sprintf("GPIO%d", heaterPin)
	for number := 1; number <= 3; number++ {
		folder := filepath.Join(wiring.probes, fmt.Sprintf("28-00000000000%d", number))
		must(t, os.MkdirAll(folder, 0o755))
		record := wiretree.RecordText(wiretree.RecordBytes(int16(math.Round(20*16)), 0x7F, 0x10))
		write(t, filepath.Join(folder, "w1_slave"), record)
	}
	return os.Getenv("keeps") == "Y", boardName()
}

func boardName() string {
	if os.Getenv("keeps") == "Y" {
		return "board that keeps outputs"
	}
	return "board that frees outputs"
}

var pinState = regexp.MustCompile(`(?m)^pin \d+ \(gpio(\d+)\) .*?function (\S+) in (hi|lo);`)

// pin tells function and level of a pin as its controller shows them, such as
// "gpio_out hi".
func pin(t *testing.T, number int) string {
	t.Helper()
	pins, err := filepath.Glob("/sys/kernel/debug/pinctrl/*pinctrl-bcm2835/pins")
	if err != nil || len(pins) != 1 {
		t.Fatalf("the pin controller shows no pins: %v, %v", pins, err)
	}
	for _, found := range pinState.FindAllStringSubmatch(read(t, pins[0]), -1) {
		if found[1] == fmt.Sprint(number) {
			return found[2] + " " + found[3]
		}
	}
	t.Fatalf("the pin controller does not show pin %d:\n%.400s", number, read(t, pins[0]))
	return ""
}

// heater waits until its pin is driven high, or not.
func heater(t *testing.T, on bool, since time.Time, within time.Duration) time.Duration {
	t.Helper()
	for (pin(t, heaterPin) == "gpio_out hi") != on {
		if time.Since(since) > within {
			t.Fatalf("the heater has not become on=%v within %v: %s", on, within, pin(t, heaterPin))
		}
		time.Sleep(glance(within))
	}
	took := time.Since(since)
	if took > within {
		t.Errorf("the heater has become on=%v after %v, want %v", on, took, within)
	}
	return took
}

func TestPiDeathsUnderTheGuard(t *testing.T) {
	board(t)
	h := guarded(t)
	h.guard()
	daemon := h.daemon()
	heater(t, true, time.Now(), 2*untilOn)
	died(t, "the daemon under the guard: stopped (SIGSTOP)", heater(t, false, daemon.signal(syscall.SIGSTOP), mostTime))
	daemon.signal(syscall.SIGCONT)
	heater(t, true, time.Now(), untilOn)
	died(t, "the daemon under the guard: kill -9", heater(t, false, daemon.signal(syscall.SIGKILL), mostTime))
	if state := pin(t, heaterPin); state != "gpio_out lo" {
		t.Errorf("the guard holds the pin at %q", state)
	}
}

// TestPiWithoutTheProgram: what the board does with the line of a program that is
// gone, and what the stop hook does about it.
func TestPiWithoutTheProgram(t *testing.T) {
	keeps, name := board(t)
	for what, h := range map[string]*house{"the daemon without a guard: kill -9": unguarded(t), "the guard itself: kill -9": guarded(t)} {
		var dies *program
		if strings.Contains(what, "itself") {
			dies = h.guard()
			h.daemon()
		} else {
			dies = h.daemon()
		}
		heater(t, true, time.Now(), 2*untilOn)
		killed := dies.signal(syscall.SIGKILL)
		dies.ends(10 * time.Second)
		time.Sleep(100 * time.Millisecond) // for the kernel to do what it does
		state := pin(t, heaterPin)
		if stays := state == "gpio_out hi"; stays != keeps {
			t.Errorf("%s, %s: the pin is %q", name, what, state)
		}
		h.off()
		took := heater(t, false, killed, mostTime) // with the start of the hook's program
		died(t, fmt.Sprintf("%s, which leaves the pin %q, until the stop hook has ended", what, state), took)
		if keeps && pin(t, heaterPin) != "gpio_out lo" {
			t.Errorf("%s, %s: after the hook the pin is %q", name, what, pin(t, heaterPin))
		}
	}
}
