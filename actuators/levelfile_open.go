package actuators

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"golang.org/x/sys/unix"
)

// lockAlone takes the file for this program alone; the kernel gives it back
// when the file is closed, however the program ends.
func lockAlone(file *os.File) error {
	err := unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return fmt.Errorf("another program drives %s: stop it first; two programs would fight over what it switches", file.Name())
	}
	if err != nil {
		return fmt.Errorf("%s can't be taken for this program alone: %w; it must lie on a local disk", file.Name(), err)
	}
	return nil
}

// openRegular opens an existing regular file for writing. The look before the
// opening keeps it from hanging on a pipe or waking a device.
func openRegular(path string) (*os.File, error) {
	before, err := os.Lstat(path)
	if errors.Is(err, os.ErrNotExist) {
		return nil, fmt.Errorf("there is no file %s: check the path, and that the kernel has its driver loaded", path)
	}
	if err != nil {
		return nil, fmt.Errorf("cannot look at %s: %w; check the rights of the folders on the way", path, err)
	}
	if !before.Mode().IsRegular() {
		return nil, fmt.Errorf("%s is %s, not a regular file: give the path of the file itself, such as /sys/class/leds/NAME/brightness", path, sortOfFile(before.Mode()))
	}
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return nil, fmt.Errorf("cannot open %s for writing: %w; let the service's user write to it (a udev rule for kernel files)", path, err)
	}
	after, err := file.Stat()
	if err != nil || !os.SameFile(before, after) {
		return nil, errors.Join(fmt.Errorf("%s was replaced while it was being opened: try again", path), err, file.Close())
	}
	return file, nil
}

func sortOfFile(mode os.FileMode) string {
	switch {
	case mode.IsDir():
		return "a folder"
	case mode&os.ModeSymlink != 0:
		return "a symbolic link"
	case mode&os.ModeNamedPipe != 0:
		return "a pipe"
	case mode&os.ModeSocket != 0:
		return "a socket"
	}
	return "a device"
}

// fullNumber is the number that stands for full. The kernel cuts larger numbers
// down to max_brightness, so a larger wish would be a silent wrong level.
func fullNumber(path string, most int) (int, error) {
	if most < 0 {
		return 0, fmt.Errorf("the number for full is %d: give 1 or more, or 0 to take the kernel's", most)
	}
	beside := filepath.Join(filepath.Dir(path), "max_brightness")
	text, err := os.ReadFile(beside)
	if errors.Is(err, os.ErrNotExist) {
		return max(most, 1), nil
	}
	if err != nil {
		return 0, fmt.Errorf("cannot read %s: %w; check its rights", beside, err)
	}
	limit, err := strconv.Atoi(strings.TrimSpace(string(text)))
	if err != nil || limit < 1 {
		return 0, fmt.Errorf("%s says %q, not a whole number from 1: check the LED's driver", beside, strings.TrimSpace(string(text)))
	}
	if most > limit {
		return 0, fmt.Errorf("the number for full is %d, but the kernel takes at most %d: give %d or less, or 0 to take the kernel's", most, limit, limit)
	}
	if most == 0 {
		return limit, nil
	}
	return most, nil
}
