package actuators

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
)

// PumpSignal is what a pump makes of the on-time of its speed signal, as shares
// from 0 to 1 at the pump's own input. Stop < Slowest < Full is a rising signal,
// as solar pumps take it; Stop > Slowest > Full a falling one, as heating pumps
// take it, which run at full when their wire breaks.
type PumpSignal struct {
	Stop    float64 // at which the pump stands still
	Slowest float64 // at which it turns at Least
	Full    float64 // at which it turns at full
	Least   float64 // lowest speed that it turns at, as a level above 0, up to 1
}

// share is the on-time for a level. Below Least the pump turns at Least; only 0
// stops it.
func (s *PumpSignal) share(level float64) float64 {
	if level <= 0 {
		return s.Stop
	}
	if s.Least >= 1 {
		return s.Full
	}
	return s.Slowest + (s.Full-s.Slowest)*(s.level(level)-s.Least)/(1-s.Least)
}

// level is what becomes of a wanted level.
func (s *PumpSignal) level(wanted float64) float64 {
	if wanted <= 0 {
		return 0
	}
	return max(wanted, s.Least)
}

func (s *PumpSignal) check() error {
	rising := s.Stop < s.Slowest && s.Slowest < s.Full
	falling := s.Stop > s.Slowest && s.Slowest > s.Full
	inside := min(s.Stop, s.Full) >= 0 && max(s.Stop, s.Full) <= 1 && s.Least > 0 && s.Least <= 1
	if inside && (rising || falling) {
		return nil
	}
	return fmt.Errorf("a signal that stops at %g %%, turns slowest at %g %% and full at %g %% with a least speed of %g %% is none: it must rise or fall from stop over slowest to full within 0 to 100 %%, and the least speed lies above 0; read them off the pump's papers",
		s.Stop*100, s.Slowest*100, s.Full*100, s.Least*100)
}

// PWMOptions describe a speed signal of the kernel's PWM class.
type PWMOptions struct {
	Name    string // the output's name, such as "loop_pump"; used in messages
	Folder  string // of the chip: /sys/class/pwm/pwmchip0
	Channel int    // of the chip
	Hertz   float64
	Signal  PumpSignal
	// Inverted says that the wiring between pin and pump turns the signal
	// around, as a transistor to ground does.
	Inverted bool
}

// PWM drives a pump's speed by the kernel's PWM class, where hardware makes the
// signal: it needs no help from this program, and it stays as it was when the
// program dies or hangs. So the pump then goes on as it was; nothing that heats
// belongs on one.
//
//	Range       0, and Signal.Least to 1
//	Resolution  1 ns of the period; what the chip makes of it is coarser
//	Files       period, duty_cycle, polarity, enable and export, see the kernel's
//	            Documentation/ABI/testing/sysfs-class-pwm
//
// The channel is taken for this program alone (flock(2) on its duty_cycle) and
// driven to the stop signal when it is opened. Close drives the stop signal and
// leaves it on where it is not plain off: a pump with a falling signal would run
// at full without it.
type PWM struct {
	options  PWMOptions
	folder   string // of the channel
	periodNS int64
	write    func(path, text string) error

	mu     sync.Mutex
	lock   *os.File
	level  float64
	closed bool
}

// OpenPWM takes a channel and stops its pump. Errors name the file and what to do.
func OpenPWM(o PWMOptions) (*PWM, error) { return openPWM(o, writeAttribute) }

func openPWM(o PWMOptions, write func(path, text string) error) (*PWM, error) {
	p := &PWM{
		options: o, write: write,
		folder:   filepath.Join(o.Folder, "pwm"+strconv.Itoa(o.Channel)),
		periodNS: int64(math.Round(1e9 / o.Hertz)),
	}
	err := o.Signal.check()
	if err == nil && !(o.Hertz >= 1 && o.Hertz <= 1e6) {
		err = fmt.Errorf("a signal of %g Hz: pumps take some 100 to 5000 Hz", o.Hertz)
	}
	if err == nil {
		err = p.take()
	}
	if err == nil {
		err = p.start()
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("%s: %w", p, err), p.release())
	}
	return p, nil
}

// String names the output as messages do.
func (p *PWM) String() string {
	return fmt.Sprintf("output %s (channel %d of %s)", p.options.Name, p.options.Channel, p.options.Folder)
}

// take has the kernel show the channel, and takes it for this program alone.
func (p *PWM) take() error {
	if _, err := os.Stat(p.folder); errors.Is(err, os.ErrNotExist) {
		if err := p.write(filepath.Join(p.options.Folder, "export"), strconv.Itoa(p.options.Channel)); err != nil {
			return fmt.Errorf("the channel cannot be had: %w; check the folder and the number, that the board's PWM overlay is on, and let the service's user write there (a udev rule)", err)
		}
	}
	file, err := openRegular(filepath.Join(p.folder, "duty_cycle"))
	if err != nil {
		return err
	}
	p.lock = file
	return lockAlone(file)
}

// start brings the channel to the stop signal. The kernel refuses an on-time
// longer than the period, and another polarity while the channel is on.
func (p *PWM) start() error {
	polarity, err := p.read("polarity")
	if err != nil {
		return err
	}
	if polarity != "normal" {
		if err := errors.Join(p.set("enable", 0), p.write(filepath.Join(p.folder, "polarity"), "normal")); err != nil {
			return err
		}
	}
	period, err := p.read("period")
	if err != nil {
		return err
	}
	if period != strconv.FormatInt(p.periodNS, 10) {
		if period != "0" { // of a channel that was never set up: nothing to shorten
			if err := p.set("duty_cycle", 0); err != nil {
				return err
			}
		}
		if err := p.set("period", p.periodNS); err != nil {
			return err
		}
	}
	if err := p.drive(0); err != nil {
		return err
	}
	return p.set("enable", 1)
}

// Set drives a level: 0 stops the pump, above it turns at Signal.Least to full.
func (p *PWM) Set(c Command) error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return fmt.Errorf("%s: %w", p, ErrClosed)
	}
	if err := c.check(); err != nil {
		return errors.Join(fmt.Errorf("%s: %w", p, err), p.drive(0))
	}
	return p.drive(c.Level)
}

// Level is the level last driven.
func (p *PWM) Level() float64 {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.level
}

// Safe drives the stop signal.
func (p *PWM) Safe() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch {
	case p.closed && p.level != 0:
		return fmt.Errorf("%s was on when it closed: %w", p, ErrClosed)
	case p.closed:
		return nil
	}
	return p.drive(0)
}

// Close drives the stop signal and lets go of the channel.
func (p *PWM) Close() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return nil
	}
	p.closed = true
	err := p.drive(0)
	if err == nil && p.onTimeNS(0) == 0 {
		err = p.set("enable", 0)
	}
	return errors.Join(err, p.release())
}

func (p *PWM) release() error {
	if p.lock == nil {
		return nil
	}
	lock := p.lock
	p.lock = nil
	return lock.Close()
}

func (p *PWM) driven(level float64) float64 { return p.options.Signal.level(level) }

// onTimeNS is how long the pin is high in a period.
func (p *PWM) onTimeNS(level float64) int64 {
	share := p.options.Signal.share(level)
	if p.options.Inverted {
		share = 1 - share
	}
	return int64(math.Round(share * float64(p.periodNS)))
}

func (p *PWM) drive(level float64) error {
	if err := p.set("duty_cycle", p.onTimeNS(level)); err != nil {
		return fmt.Errorf("%s cannot be driven to level %g: %w; it may still be as before: check the board's PWM, and switch the pump off at its isolator if it must be off", p, level, err)
	}
	p.level = p.driven(level)
	return nil
}

func (p *PWM) set(attribute string, value int64) error {
	return p.write(filepath.Join(p.folder, attribute), strconv.FormatInt(value, 10))
}

func (p *PWM) read(attribute string) (string, error) {
	text, err := os.ReadFile(filepath.Join(p.folder, attribute))
	if err != nil {
		return "", fmt.Errorf("%w; check the rights of the channel's folder", err)
	}
	return strings.TrimSpace(string(text)), nil
}

// writeAttribute writes to a file of the kernel in one call, as it wants it.
func writeAttribute(path, text string) error {
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = file.WriteString(text)
	return errors.Join(err, file.Close())
}
