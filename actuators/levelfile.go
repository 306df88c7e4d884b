package actuators

import (
	"errors"
	"fmt"
	"math"
	"os"
	"strconv"
	"sync"
)

// LevelFile drives a whole number, 0 to a largest value, into a file: the
// `brightness` of a relay that the kernel offers as an LED, or a plain file that
// a test bench reads. Each level is the number and a line end, written at the
// start of the file; who reads a plain file takes its first line.
//
// The kernel keeps an LED as last driven when the program dies: nothing that
// heats belongs on one unless the wiring drops it by itself.
type LevelFile struct {
	mu     sync.Mutex
	name   string
	path   string
	max    int
	file   *os.File
	level  float64
	closed bool
}

// OpenLevelFile takes a file that is there, for this program alone (flock(2)),
// and drives it off; a file that another program has taken so is left as it is
// and is an error. name is the
// output's name for messages, such as "loop_pump". most is the number for full;
// 0 takes `max_brightness` beside the file, or 1 where there is none. The file
// itself must be a regular file and no symbolic link; folders on the way may be
// links, as they are for LEDs. Driving it off also ends an LED's trigger, so that
// the kernel does not blink a pump ("Writing 0 to this file clears active
// trigger": Documentation/ABI/testing/sysfs-class-led, Linux 6.1).
func OpenLevelFile(name, path string, most int) (*LevelFile, error) {
	most, err := fullNumber(path, most)
	if err != nil {
		return nil, fmt.Errorf("output %s: %w", name, err)
	}
	file, err := openRegular(path)
	if err != nil {
		return nil, fmt.Errorf("output %s: %w", name, err)
	}
	if err := lockAlone(file); err != nil {
		return nil, errors.Join(fmt.Errorf("output %s: %w", name, err), file.Close())
	}
	l := &LevelFile{name: name, path: path, max: most, file: file}
	if err := l.drive(0); err != nil {
		return nil, errors.Join(err, file.Close())
	}
	return l, nil
}

// CreateLevelFile is OpenLevelFile for a plain file, made when it is missing.
func CreateLevelFile(name, path string, most int) (*LevelFile, error) {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err == nil {
		err = file.Close()
	} else if errors.Is(err, os.ErrExist) {
		err = nil // OpenLevelFile judges what is there
	}
	if err != nil {
		return nil, fmt.Errorf("output %s: cannot make its file: %w; make the folder and let the service's user write to it", name, err)
	}
	return OpenLevelFile(name, path, most)
}

// Set drives the nearest whole number.
func (l *LevelFile) Set(c Command) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.closed {
		return fmt.Errorf("output %s: %w", l.name, ErrClosed)
	}
	if err := c.check(); err != nil {
		return errors.Join(fmt.Errorf("output %s: %w", l.name, err), l.drive(0))
	}
	return l.drive(c.Level)
}

// Level is the level last driven, 0 to 1, rounded as it was driven.
func (l *LevelFile) Level() float64 {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.level
}

// Safe drives 0.
func (l *LevelFile) Safe() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.safe()
}

// Close drives 0 and lets go of the file, which stays where it is.
func (l *LevelFile) Close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.closed {
		return nil
	}
	err := l.safe()
	l.closed = true
	return errors.Join(err, l.file.Close())
}

func (l *LevelFile) driven(level float64) float64 { return float64(l.number(level)) / float64(l.max) }

func (l *LevelFile) number(level float64) int { return int(math.Round(level * float64(l.max))) }

func (l *LevelFile) safe() error {
	if l.closed && l.level == 0 {
		return nil
	}
	if l.closed {
		return fmt.Errorf("output %s was on when it closed: %w", l.name, ErrClosed)
	}
	return l.drive(0)
}

func (l *LevelFile) drive(level float64) error {
	if err := l.write(strconv.Itoa(l.number(level)) + "\n"); err != nil {
		return fmt.Errorf("output %s: cannot write level %g to %s: %w; it may still be as before: check the device behind it, and switch it off by hand if it must be off",
			l.name, level, l.path, err)
	}
	l.level = l.driven(level)
	return nil
}

// write puts text at the start of the file in one call, as the kernel's
// attribute files want it, and shortens only after that, so that the first line
// is a whole number at every instant.
func (l *LevelFile) write(text string) error {
	if _, err := l.file.WriteAt([]byte(text), 0); err != nil {
		return err
	}
	held, err := l.file.Stat()
	if err != nil {
		return err
	}
	// A write to a file that was moved away succeeds and reaches nothing.
	there, err := os.Lstat(l.path)
	if err != nil {
		return err
	}
	if !os.SameFile(held, there) {
		return errors.New("another file has taken its place since it was opened (restart to open the new one)")
	}
	return l.shorten(held, int64(len(text)))
}

// shorten drops the tail of a longer, earlier number. Attribute files of the
// kernel have a nominal size of one page and no tail; they are left alone.
func (l *LevelFile) shorten(held os.FileInfo, size int64) error {
	if held.Size() <= size || held.Size() >= int64(os.Getpagesize()) {
		return nil
	}
	return l.file.Truncate(size)
}
