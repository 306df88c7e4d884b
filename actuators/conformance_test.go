package actuators

import (
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"periph.io/x/conn/v3/gpio"
)

// rig is an output together with the world behind it.
type rig struct {
	out  Output
	wire func() float64 // the level the world sees, 0 to 1
	fail func(bool)     // makes driving fail, or work again
}

var errDrive = errors.New("drive refused by the test")

func still() time.Duration { return 0 }

var kinds = map[string]func(*testing.T) rig{
	"relay":                    relayRig,
	"level file, two states":   func(t *testing.T) rig { return fileRig(t, 1) },
	"level file, many states":  func(t *testing.T) rig { return fileRig(t, 255) },
	"coil":                     func(*testing.T) rig { return coilRig(false) },
	"coil that can't be read":  func(*testing.T) rig { return coilRig(true) },
	"pulsed relay":             func(t *testing.T) rig { return pulsed(relayRig(t)) },
	"paced pulsed relay":       func(t *testing.T) rig { return paced(pulsed(relayRig(t))) },
	"paced coil":               func(*testing.T) rig { return paced(coilRig(false)) },
	"rising signal":            func(t *testing.T) rig { return pwmRig(t, risingSignal, false) },
	"falling signal, inverted": func(t *testing.T) rig { return pwmRig(t, fallingSignal, true) },
	"paced falling signal":     func(t *testing.T) rig { return paced(pwmRig(t, fallingSignal, false)) },
	"simulated":                simulatedRig,
	"paced simulated":          func(t *testing.T) rig { return paced(simulatedRig(t)) },
	"paced relay":              func(t *testing.T) rig { return paced(relayRig(t)) },
	"recorded level file":      func(t *testing.T) rig { return recorded(fileRig(t, 255)) },
	"paced and recorded relay": func(t *testing.T) rig { return paced(recorded(relayRig(t))) },
}

func relayRig(t *testing.T) rig {
	bank, set := fakeBank(t)
	for _, name := range []string{"backup_heater", "valve"} {
		if err := relayOf(t, bank, name).Close(); err != nil {
			t.Fatal(err)
		}
	}
	return rig{
		out:  relayOf(t, bank, "loop_pump"),
		wire: func() float64 { return set.level(1) },
		fail: func(on bool) {
			set.setFailOut(func(gpio.GPIOValue, gpio.GPIOValue) error {
				if on {
					return errDrive
				}
				return nil
			})
		},
	}
}

func fileRig(t *testing.T, most int) rig {
	path := filepath.Join(t.TempDir(), "brightness")
	out, err := CreateLevelFile("loop_pump", path, most)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = out.file.Close() })
	move := map[bool][2]string{true: {path, path + ".away"}, false: {path + ".away", path}}
	return rig{
		out:  out,
		wire: func() float64 { return float64(readNumber(t, path)) / float64(most) },
		fail: func(on bool) {
			if err := os.Rename(move[on][0], move[on][1]); err != nil {
				t.Fatal(err)
			}
		},
	}
}

// readNumber reads a level file as a bench does: its first line.
func readNumber(t *testing.T, path string) int {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	first, _, whole := strings.Cut(string(text), "\n")
	n, err := strconv.Atoi(first)
	if err != nil || !whole {
		t.Fatalf("level file holds %q", text)
	}
	return n
}

func simulatedRig(*testing.T) rig {
	var mu sync.Mutex
	var level float64
	var broken bool
	apply := func(wanted float64) {
		mu.Lock()
		defer mu.Unlock()
		if broken {
			panic("the plant fell over")
		}
		level = wanted
	}
	return rig{
		out:  NewSimulated(apply),
		wire: func() float64 { mu.Lock(); defer mu.Unlock(); return level },
		fail: func(on bool) { mu.Lock(); defer mu.Unlock(); broken = on },
	}
}

func paced(r rig) rig {
	r.out = Pace(r.out, 0, 0, still)
	return r
}

// pulsed has pulses so long that the line shows the level meanwhile.
func pulsed(r rig) rig {
	r.out = Pulse(r.out, PulseOptions{Name: "loop_pump", Hertz: 1e-3, keep: time.Hour})
	return r
}

func recorded(r rig) rig {
	r.out = Record(r.out, io.Discard, still)
	return r
}

func TestConformance(t *testing.T) {
	for name, open := range kinds {
		t.Run(name, func(t *testing.T) { conform(t, open) })
	}
}

// Conform checks an output that wraps another one from outside of this package.
func Conform(t *testing.T, wrap func(*testing.T, Output) Output) {
	conform(t, func(t *testing.T) rig {
		r := simulatedRig(t)
		r.out = wrap(t, r.out)
		return r
	})
}

func conform(t *testing.T, open func(*testing.T) rig) {
	for check, run := range map[string]func(*testing.T, rig){
		"drives what is commanded":            drivesCommands,
		"refuses what is no level":            refusesNonsense,
		"safe is off":                         safeIsOff,
		"a failed off still says on":          failedOffSaysOn,
		"a failed on still says off":          failedOnSaysOff,
		"close is off and final":              closeIsFinal,
		"close releases though driving fails": closeReleasesAnyway,
		"many goroutines":                     manyGoroutines,
	} {
		t.Run(check, func(t *testing.T) { run(t, open(t)) })
	}
}

// expect compares the told level and the world's with the wanted one.
func expect(t *testing.T, r rig, want float64, when string) {
	t.Helper()
	if got := r.out.Level(); got != want {
		t.Errorf("%s: Level is %v, want %v", when, got, want)
	}
	if got := r.wire(); got != want {
		t.Errorf("%s: the line is at %v, want %v", when, got, want)
	}
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func mustFail(t *testing.T, err error, when string) {
	t.Helper()
	if err == nil {
		t.Fatalf("%s: no error", when)
	}
}

func drivesCommands(t *testing.T, r rig) {
	expect(t, r, 0, "at the start")
	for _, level := range []float64{0, 1, 1, 0.2, 0.49, 0.5, 0, 0.8, 1, 0} {
		must(t, r.out.Set(Command{Level: level}))
		want := drivenBy(r.out, level)
		expect(t, r, want, "after "+strconv.FormatFloat(level, 'g', -1, 64))
		if math.Abs(want-level) > 0.5 {
			t.Errorf("level %v became %v", level, want)
		}
	}
}

func refusesNonsense(t *testing.T, r rig) {
	for _, level := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -0.01, 1.01} {
		must(t, r.out.Set(Command{Level: 1}))
		mustFail(t, r.out.Set(Command{Level: level}), "nonsense level")
		expect(t, r, 0, "after a nonsense level")
	}
}

func safeIsOff(t *testing.T, r rig) {
	must(t, r.out.Set(Command{Level: 1}))
	must(t, r.out.Safe())
	expect(t, r, 0, "after Safe")
	must(t, r.out.Safe())
	expect(t, r, 0, "after Safe again")
	must(t, r.out.Set(Command{Level: 1}))
	expect(t, r, 1, "driven again after Safe")
}

func failedOffSaysOn(t *testing.T, r rig) {
	must(t, r.out.Set(Command{Level: 1}))
	r.fail(true)
	mustFail(t, r.out.Set(Command{Level: 0, Urgent: true}), "Set on a failing line")
	if r.out.Level() != 1 {
		t.Error("a failed Set to off is told as off")
	}
	mustFail(t, r.out.Safe(), "Safe on a failing line")
	if r.out.Level() != 1 {
		t.Error("a failed Safe is told as off")
	}
	r.fail(false)
	must(t, r.out.Safe())
	expect(t, r, 0, "after the line works again")
}

func failedOnSaysOff(t *testing.T, r rig) {
	r.fail(true)
	mustFail(t, r.out.Set(Command{Level: 1}), "Set on a failing line")
	if r.out.Level() != 0 {
		t.Error("a failed Set to on is told as on")
	}
	r.fail(false)
	must(t, r.out.Set(Command{Level: 1}))
	expect(t, r, 1, "after the line works again")
}

func closeIsFinal(t *testing.T, r rig) {
	must(t, r.out.Set(Command{Level: 1}))
	must(t, r.out.Close())
	expect(t, r, 0, "after Close")
	if err := r.out.Set(Command{Level: 1, Urgent: true}); !errors.Is(err, ErrClosed) {
		t.Errorf("Set after Close: %v, want ErrClosed", err)
	}
	expect(t, r, 0, "after Set on a closed output")
	must(t, r.out.Safe())
	must(t, r.out.Close())
	expect(t, r, 0, "after a second Close")
}

func closeReleasesAnyway(t *testing.T, r rig) {
	must(t, r.out.Set(Command{Level: 1}))
	r.fail(true)
	mustFail(t, r.out.Close(), "Close on a failing line")
	if r.out.Level() != 1 {
		t.Error("an output that could not be driven off is told as off after Close")
	}
	if err := r.out.Set(Command{}); !errors.Is(err, ErrClosed) {
		t.Errorf("Set after Close: %v, want ErrClosed", err)
	}
	mustFail(t, r.out.Safe(), "Safe on an output that closed while on")
	must(t, r.out.Close())
}

func manyGoroutines(t *testing.T, r rig) {
	var all sync.WaitGroup
	for i := range 4 {
		all.Go(func() {
			for n := range 25 {
				_ = r.out.Set(Command{Level: float64(n % 2), Urgent: i == 0}) // a late Set may be refused
				_ = r.out.Level()
				if i == 1 && n == 20 {
					mustElsewhere(t, r.out.Close())
				}
				if i == 2 {
					mustElsewhere(t, r.out.Safe())
				}
			}
		})
	}
	all.Wait()
	expect(t, r, 0, "after Close among others")
}

// mustElsewhere is must for other goroutines than the test's own.
func mustElsewhere(t *testing.T, err error) {
	if err != nil {
		t.Error(err)
	}
}
