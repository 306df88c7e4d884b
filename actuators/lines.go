package actuators

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"periph.io/x/conn/v3/gpio"
)

// lineSet is all that a bank of relays asks of its requested lines. It has no
// way to change a direction and none to read a single line: those are the ways
// in which an output becomes an input by accident (see periph.go).
type lineSet interface {
	// Out drives the lines whose bit is set in mask.
	Out(bits, mask gpio.GPIOValue) error
	// Read tells the levels the kernel sees, without changing anything.
	Read(mask gpio.GPIOValue) (gpio.GPIOValue, error)
	// Close gives the lines back to the kernel.
	Close() error
}

// chip is one GPIO chip of the board.
type chip interface {
	name() string  // the kernel's name, such as gpiochip0
	label() string // what the driver calls it
	lines() []lineInfo
	// request takes the lines for this program alone, as outputs, low from the
	// first instant. The error wraps errBusy when a line is taken.
	request([]lineInfo) (lineSet, error)
	// requestInput takes a line as an input with pull-up and both edges.
	requestInput(lineInfo) (inputSet, error)
}

// lineInfo is what a chip tells of one of its lines.
type lineInfo struct {
	offset   int
	label    string // "" where the board gives none
	consumer string // who held it when the chip was opened; "" when free or untold
}

func (l lineInfo) String() string {
	if l.label == "" {
		return strconv.Itoa(l.offset)
	}
	return fmt.Sprintf("%s (offset %d)", l.label, l.offset)
}

var errBusy = errors.New("the line is taken")

const mostLines = 64 // of one request: the kernel's GPIO_V2_LINES_MAX

// findChip finds a chip by the kernel's name, by its device path (which may be a
// link to it) or by the driver's label.
func findChip(chips []chip, wanted string) (chip, error) {
	name := wanted
	if strings.HasPrefix(wanted, "/") {
		if target, err := filepath.EvalSymlinks(wanted); err == nil {
			name = target
		}
		name = filepath.Base(name)
	}
	var found []chip
	for _, c := range chips {
		if c.name() == name {
			return c, nil
		}
		if wanted != "" && c.label() == wanted {
			found = append(found, c)
		}
	}
	if len(found) == 1 {
		return found[0], nil
	}
	what := fmt.Sprintf("there is no GPIO chip %q", wanted)
	if len(found) > 1 {
		what = fmt.Sprintf("%d GPIO chips have the label %q", len(found), wanted)
	}
	return nil, fmt.Errorf("%s; this board has %s: name one of these", what, chipList(chips))
}

func chipList(chips []chip) string {
	if len(chips) == 0 {
		return "none"
	}
	var told []string
	for _, c := range chips {
		told = append(told, fmt.Sprintf("%s (label %s, %d lines)", c.name(), c.label(), len(c.lines())))
	}
	return strings.Join(told, ", ")
}

// findLine finds a line by its label or, when no label fits, by its offset. The
// library puts the chip's name and a dash before a label it has met already.
func findLine(c chip, wanted string) (lineInfo, error) {
	lines := c.lines()
	var found []lineInfo
	for _, l := range lines {
		if wanted != "" && (l.label == wanted || l.label == c.name()+"-"+wanted) {
			found = append(found, l)
		}
	}
	if offset, err := strconv.Atoi(wanted); len(found) == 0 && err == nil {
		i := slices.IndexFunc(lines, func(l lineInfo) bool { return l.offset == offset })
		if i >= 0 {
			found = append(found, lines[i])
		}
	}
	switch len(found) {
	case 0:
		return lineInfo{}, fmt.Errorf("chip %s has no line %q; it has %s: name one of these by label or offset", c.name(), wanted, lineList(lines))
	case 1:
		return found[0], onlyByLabel(c, found[0])
	}
	return lineInfo{}, fmt.Errorf("chip %s has several lines labelled %q: %s: name the one that is wired by its offset number", c.name(), wanted, lineList(found))
}

// onlyByLabel refuses a line that cannot be told from another one: the library
// requests lines by label, and would take the first that bears it.
func onlyByLabel(c chip, line lineInfo) error {
	if line.label == "" {
		return fmt.Errorf("line %d of chip %s has no label, and lines can only be requested by label: choose a labelled line, or give it one in the board's device tree (gpio-line-names)", line.offset, c.name())
	}
	for _, other := range c.lines() {
		if other.label == line.label && other.offset != line.offset {
			return fmt.Errorf("lines %d and %d of chip %s share the label %q, so it is not sure which would be driven: choose a line with a label of its own", line.offset, other.offset, c.name(), line.label)
		}
	}
	return nil
}

func lineList(lines []lineInfo) string {
	if len(lines) == 0 {
		return "none"
	}
	var told []string
	for _, l := range lines {
		told = append(told, l.String())
	}
	return strings.Join(told, ", ")
}
