package actuators

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"
)

// fakePWM is a folder like that of a chip of the kernel's PWM class, with the
// kernel's rules: Documentation/ABI/testing/sysfs-class-pwm and the refusals of
// its driver core (from memory).
type fakePWM struct {
	t      testing.TB
	folder string

	mu     sync.Mutex
	writes []string
	fail   error
}

func newFakePWM(t testing.TB) *fakePWM {
	t.Helper()
	f := &fakePWM{t: t, folder: filepath.Join(t.TempDir(), "pwmchip0")}
	if err := os.Mkdir(f.folder, 0o755); err != nil {
		t.Fatal(err)
	}
	return f
}

// have makes the channel that is there already, as an earlier run left it.
func (f *fakePWM) have(period, duty, enable int, polarity string) {
	f.t.Helper()
	folder := filepath.Join(f.folder, "pwm0")
	if err := os.MkdirAll(folder, 0o755); err != nil {
		f.t.Fatal(err)
	}
	for name, text := range map[string]string{"period": strconv.Itoa(period), "duty_cycle": strconv.Itoa(duty), "enable": strconv.Itoa(enable), "polarity": polarity} {
		if err := os.WriteFile(filepath.Join(folder, name), []byte(text+"\n"), 0o644); err != nil {
			f.t.Fatal(err)
		}
	}
}

func (f *fakePWM) number(name string) int {
	text, err := os.ReadFile(filepath.Join(f.folder, "pwm0", name))
	if err != nil {
		f.t.Fatal(err)
	}
	n, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil {
		f.t.Fatal(err)
	}
	return n
}

// write is what the kernel does with a write.
func (f *fakePWM) write(path, text string) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	name := filepath.Base(path)
	f.writes = append(f.writes, name+" "+text)
	if f.fail != nil {
		return f.fail
	}
	if name == "export" {
		if text != "0" {
			return syscall.ENODEV
		}
		f.have(0, 0, 0, "normal")
		return nil
	}
	value, _ := strconv.Atoi(text)
	switch {
	case name == "duty_cycle" && value > f.number("period"),
		name == "period" && value < f.number("duty_cycle"),
		name == "enable" && value == 1 && f.number("period") == 0:
		return syscall.EINVAL
	case name == "polarity" && f.number("enable") == 1:
		return syscall.EBUSY
	}
	return os.WriteFile(path, []byte(text+"\n"), 0o644)
}

func (f *fakePWM) setFail(err error) {
	f.mu.Lock()
	defer f.mu.Unlock()
	f.fail = err
}

var (
	risingSignal  = PumpSignal{Stop: 0, Slowest: 0.15, Full: 0.9, Least: 0.3}
	fallingSignal = PumpSignal{Stop: 1, Slowest: 0.85, Full: 0.1, Least: 0.3}
)

func (f *fakePWM) options(s PumpSignal) PWMOptions {
	return PWMOptions{Name: "loop_pump", Folder: f.folder, Hertz: 1000, Signal: s}
}

func (f *fakePWM) open(o PWMOptions) *PWM {
	f.t.Helper()
	p, err := openPWM(o, f.write)
	if err != nil {
		f.t.Fatal(err)
	}
	f.t.Cleanup(func() { _ = p.release() })
	return p
}

// pwmRig reads the level back from the signal at the pump.
func pwmRig(t *testing.T, s PumpSignal, inverted bool) rig {
	f := newFakePWM(t)
	o := f.options(s)
	o.Inverted = inverted
	return rig{
		out: f.open(o),
		wire: func() float64 {
			share := float64(f.number("duty_cycle")) / float64(f.number("period"))
			if inverted {
				share = 1 - share
			}
			if math.Abs(share-s.Stop) < 1e-9 {
				return 0
			}
			level := s.Least + (1-s.Least)*(share-s.Slowest)/(s.Full-s.Slowest)
			return math.Round(level*1e5) / 1e5
		},
		fail: func(on bool) {
			f.setFail(nil)
			if on {
				f.setFail(errDrive)
			}
		},
	}
}

func TestSpeedSignals(t *testing.T) {
	for _, c := range []struct {
		signal   PumpSignal
		inverted bool
		level    float64
		onTime   int // µs of 1000
	}{
		{risingSignal, false, 0, 0}, {risingSignal, false, 0.3, 150}, {risingSignal, false, 0.65, 525}, {risingSignal, false, 1, 900}, {risingSignal, false, 0.1, 150},
		{fallingSignal, false, 0, 1000}, {fallingSignal, false, 0.3, 850}, {fallingSignal, false, 1, 100},
		{risingSignal, true, 0, 1000}, {risingSignal, true, 1, 100}, {fallingSignal, true, 0, 0}, {fallingSignal, true, 1, 900},
		{PumpSignal{Stop: 0, Slowest: 0.5, Full: 1, Least: 1}, false, 1, 1000},
	} {
		f := newFakePWM(t)
		o := f.options(c.signal)
		o.Inverted = c.inverted
		p := f.open(o)
		must(t, p.Set(Command{Level: c.level}))
		if got := f.number("duty_cycle"); got != c.onTime*1000 || f.number("period") != 1_000_000 || f.number("enable") != 1 {
			t.Errorf("%+v: on for %d ns", c, got)
		}
	}
}

// However an earlier run, or another program, left the channel, opening it ends
// at the stop signal, by writes that the kernel takes.
func TestAChannelThatWasUsedBefore(t *testing.T) {
	for _, s := range []PumpSignal{risingSignal, fallingSignal} {
		for name, have := range map[string]func(*fakePWM){
			"fresh":             func(*fakePWM) {},
			"as we left it":     func(f *fakePWM) { f.have(1_000_000, 700_000, 1, "normal") },
			"a longer period":   func(f *fakePWM) { f.have(20_000_000, 15_000_000, 1, "normal") },
			"a shorter period":  func(f *fakePWM) { f.have(40_000, 30_000, 1, "normal") },
			"another polarity":  func(f *fakePWM) { f.have(1_000_000, 700_000, 1, "inversed") },
			"shown, never used": func(f *fakePWM) { f.have(0, 0, 0, "normal") },
		} {
			f := newFakePWM(t)
			have(f)
			f.open(f.options(s))
			if on := f.number("duty_cycle"); on != int(s.Stop*1e6) || f.number("enable") != 1 {
				t.Errorf("%s: on for %d ns after %q", name, on, f.writes)
			}
		}
	}
}

func TestLeavingAChannel(t *testing.T) {
	for _, c := range []struct {
		signal PumpSignal
		onTime int
		enable int
	}{{risingSignal, 0, 0}, {fallingSignal, 1_000_000, 1}} {
		f := newFakePWM(t)
		p := f.open(f.options(c.signal))
		must(t, p.Set(Command{Level: 0.8}))
		must(t, p.Close())
		if f.number("duty_cycle") != c.onTime || f.number("enable") != c.enable {
			t.Errorf("%+v: on for %d ns, enabled %d", c.signal, f.number("duty_cycle"), f.number("enable"))
		}
		f.open(f.options(c.signal)) // it was let go of
	}
}

func TestAChannelThatCannotBeHad(t *testing.T) {
	f := newFakePWM(t)
	o := f.options(risingSignal)
	o.Channel = 7
	_, err := openPWM(o, f.write)
	says(t, err, "channel 7", "overlay", "udev")

	f.open(f.options(risingSignal))
	before := slices.Clone(f.writes)
	_, err = openPWM(f.options(risingSignal), f.write)
	says(t, err, "another program drives")
	if !slices.Equal(f.writes, before) {
		t.Errorf("a channel in use was written to: %q", f.writes[len(before):])
	}

	_, err = OpenPWM(PWMOptions{Name: "loop_pump", Folder: filepath.Join(t.TempDir(), "pwmchip9"), Hertz: 1000, Signal: risingSignal})
	says(t, err, "pwmchip9", "loop_pump")
	for _, wrong := range []PumpSignal{{}, {Stop: 0, Slowest: 0.5, Full: 0.4, Least: 0.3}, {Stop: 0.2, Slowest: 0.2, Full: 0.9, Least: 0.3}, {Slowest: 0.1, Full: 1.2, Least: 0.3}, {Slowest: 0.1, Full: 1}, {Slowest: math.NaN(), Full: 1, Least: 0.3}} {
		_, err := openPWM(f.options(wrong), func(string, string) error { return fmt.Errorf("nothing may be written") })
		says(t, err, "pump's papers")
	}
	o = f.options(risingSignal)
	o.Hertz = 0
	_, err = openPWM(o, f.write)
	says(t, err, "0 Hz")
}
