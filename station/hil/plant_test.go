//go:build hil

package hil

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"
)

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func read(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	must(t, err)
	return strings.TrimSpace(string(text))
}

func write(t *testing.T, path, text string) {
	t.Helper()
	must(t, os.WriteFile(path, []byte(text), 0o644))
}

// line is a line of the simulated chip; its number is that of guest/init.
type line int

const (
	pumpLine   line = 0
	heaterLine line = 1
)

const chip = "/sys/devices/platform/gpio-sim.0/gpiochip0"

func (l line) file(name string) string { return fmt.Sprintf("%s/sim_gpio%d/%s", chip, l, name) }

func (l line) high(t *testing.T) bool { return read(t, l.file("value")) == "1" }

// rests says whether the line goes high or low when nobody drives it.
func (l line) rests(t *testing.T, where string) {
	t.Helper()
	did("the pull of " + lineNames[l] + " is set " + where)
	write(t, l.file("pull"), "pull-"+where)
}

// becomes waits for a level and gives the time that went by since the given one.
func (l line) becomes(t *testing.T, high bool, since time.Time, within time.Duration) time.Duration {
	t.Helper()
	for l.high(t) != high {
		if time.Since(since) > within {
			t.Fatalf("line %d has not become high=%v within %v", l, high, within)
		}
		time.Sleep(glance(within))
	}
	took := time.Since(since)
	if took > within {
		t.Errorf("line %d has become high=%v after %v, want %v", l, high, took, within)
	}
	return took
}

// glance is how often to look at what may take so long: what is measured to the
// millisecond is short.
func glance(within time.Duration) time.Duration {
	if within <= 2*mostTime {
		return time.Millisecond
	}
	return 20 * time.Millisecond
}

// bus is the module that stands for the probes.
const bus = "/sys/module/w1_sim/parameters/"

// probes sets a figure of the collector, the tank's top and its bottom.
func probes(t *testing.T, what string, collector, top, bottom int) {
	t.Helper()
	write(t, bus+what, fmt.Sprintf("%d,%d,%d", collector, top, bottom))
}

// settles waits until nobody has driven a line for a while, and gives the time from
// the given instant to the last level.
func (l line) settles(t *testing.T, since time.Time, within time.Duration) time.Duration {
	t.Helper()
	const still = 300 * time.Millisecond // six half pulses of 10 Hz
	last, count := time.Now(), len(driven(t, l))
	for time.Since(last) < still {
		if time.Since(since) > within+still {
			t.Fatalf("line %d still moves after %v", l, within)
		}
		time.Sleep(5 * time.Millisecond)
		if n := len(driven(t, l)); n != count {
			last, count = time.Now(), n
		}
	}
	return max(0, last.Sub(since))
}

// firstNumber is the number that the kernel gives the chip's first line.
func firstNumber() (int, error) {
	labels, err := filepath.Glob("/sys/class/gpio/gpiochip*/label")
	if err != nil {
		return 0, err
	}
	for _, label := range labels {
		if name, err := os.ReadFile(label); err != nil || strings.TrimSpace(string(name)) != "plant" {
			continue
		}
		base, err := os.ReadFile(filepath.Join(filepath.Dir(label), "base"))
		if err != nil {
			return 0, err
		}
		return strconv.Atoi(strings.TrimSpace(string(base)))
	}
	return 0, errors.New("the kernel shows no chip called plant")
}

// changes are the levels without those that repeat the one before.
func changes(levels []string) string {
	var out bytes.Buffer
	last := ""
	for _, level := range levels {
		if level != last {
			out.WriteString(level)
		}
		last = level
	}
	return out.String()
}
