//go:build hil

package hil

import (
	"fmt"
	"os"
	"testing"
	"time"
)

// watchdog is the kernel's software watchdog, fed as the service manager does.
// All tests together last longer than it waits.
type watchdog struct {
	file *os.File
	stop chan struct{}
	done chan struct{}
}

const watchdogFolder = "/sys/class/watchdog/watchdog0/"

func openWatchdog() (*watchdog, error) {
	file, err := os.OpenFile("/dev/watchdog0", os.O_WRONLY, 0)
	if err != nil {
		return nil, fmt.Errorf("the watchdog can't be had: %w", err)
	}
	w := &watchdog{file: file, stop: make(chan struct{}), done: make(chan struct{})}
	go func() {
		defer close(w.done)
		for {
			_, _ = file.WriteString("f") // any letter but V feeds it
			select {
			case <-w.stop:
				return
			case <-time.After(4 * time.Second):
			}
		}
	}()
	return w, nil
}

// starve leaves it armed: closing it without the letter V does not disarm it.
func (w *watchdog) starve() {
	close(w.stop)
	<-w.done
	_ = w.file.Close()
}

// TestTheWatchdogIsArmed runs last: all tests together lasted longer than the
// watchdog waits, so that it was fed, and the boot script sees what comes of one
// that is starved.
func TestTheWatchdogIsArmed(t *testing.T) {
	if state := read(t, watchdogFolder+"state"); state != "active" {
		t.Errorf("the watchdog is %s", state)
	}
	if limit := read(t, watchdogFolder+"timeout"); limit != "12" {
		t.Errorf("it waits for %s s", limit)
	}
}
