package actuators

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"periph.io/x/conn/v3/driver/driverreg"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/host/v3/gpioioctl"
)

// Facts of periph.io/x/host v3.8.5 this file stands on, read in its source:
//
//   - GPIOChip.LineSetFromConfig (gpio.go) is one GPIO_V2_GET_LINE_IOCTL for all
//     lines, flagged output, with no start values. The kernel then makes each
//     line an output that is low from the start (Linux 6.1, gpiolib-cdev.c,
//     gpio_v2_line_config_output_value: a line without a value attribute gets 0;
//     seen in the kernel's trace, see TestRealLines). There is no active-low flag
//     in any request.
//   - The request makes the lines exclusive; a taken line is EBUSY. The ioctl
//     wrappers (ioctl.go) keep only the error's text, not its number.
//   - The consumer the kernel shows for our lines is "program@pid", cut to 31
//     bytes (gpio.go, init).
//   - Lines are looked up by label, first match (GPIOChip.ByName), also inside
//     LineSetFromConfig; a label met on an earlier chip gets the chip's name and
//     a dash in front (driverGPIO.Init).
//   - LineSet.Out and LineSet.Read (lineset.go) are one ioctl each for values
//     and never touch the direction. A mask of 0 means every line.
//   - LineSet.Close closes the descriptor once; afterwards its number is 0, so
//     that a later Out or Read would go to standard input: the bank lets go of
//     its set on Close.
//   - LineSet.WaitForEdge (lineset.go) gives os.ErrDeadlineExceeded, wrapped, when
//     its time is over; a time of 0 would wait for ever.
//   - LineSet.Halt only wakes a wait for an edge: it drives and releases nothing.
//   - GPIOLine is never driven or read here: its Read, Func and Function turn an
//     output into an input with pull-up, and its first Out requests the line "as
//     is" before it is an output. The package gpioreg is never asked for lines:
//     on common boards it gives memory-mapped pins that nobody owns.
//   - Chips and consumers are read once, when the driver loads.

// openChips loads the GPIO driver and lists the board's chips.
func openChips() ([]chip, error) {
	state, err := driverreg.Init()
	if err != nil {
		return nil, fmt.Errorf("the hardware drivers did not load: %w; this is an error of the program's build", err)
	}
	if len(gpioioctl.Chips) == 0 {
		devices, _ := filepath.Glob("/dev/gpiochip*") // the pattern is fixed and valid
		return nil, noChips(state, devices)
	}
	var chips []chip
	for _, c := range gpioioctl.Chips {
		chips = append(chips, periphChip{c})
	}
	return chips, nil
}

// noChips tells why the driver has nothing to offer. The driver says so without
// an error when it was not allowed to open any chip, so the devices are tried.
func noChips(state *driverreg.State, devices []string) error {
	if len(devices) == 0 {
		return errors.New("this machine has no GPIO chip (no /dev/gpiochip*)" + driverWords(state) +
			": use a board with GPIO lines, load the driver of its expander, or pass the device into the container")
	}
	for _, device := range devices {
		f, err := os.OpenFile(device, os.O_RDONLY, 0)
		if err != nil {
			return fmt.Errorf("no GPIO chip could be opened: %w%s; add the service's user to the group that owns %s (often gpio)", err, driverWords(state), device)
		}
		_ = f.Close() // opened to see whether it may be; nothing was written
	}
	return fmt.Errorf("no GPIO chip could be used although %s opens%s; a kernel from 5.10 with the second line interface (GPIO_CDEV) is needed",
		strings.Join(devices, ", "), driverWords(state))
}

// driverWords says in words what became of the GPIO driver, when it is known.
func driverWords(state *driverreg.State) string {
	told := func(list []driverreg.DriverFailure, what string) string {
		for _, f := range list {
			if f.D.String() != "ioctl-gpio" {
				continue
			}
			if f.Err == nil {
				return "; the GPIO driver " + what + " and gave no reason"
			}
			return "; the GPIO driver " + what + ": " + f.Err.Error()
		}
		return ""
	}
	return told(state.Failed, "failed") + told(state.Skipped, "was skipped")
}

type periphChip struct{ *gpioioctl.GPIOChip }

func (c periphChip) name() string  { return c.Name() }
func (c periphChip) label() string { return c.Label() }

func (c periphChip) lines() []lineInfo {
	var told []lineInfo
	for _, l := range c.Lines() {
		told = append(told, lineInfo{offset: l.Number(), label: l.Name(), consumer: l.Consumer()})
	}
	return told
}

func (c periphChip) request(lines []lineInfo) (lineSet, error) {
	set, err := c.lineSet(gpioioctl.LineOutput, gpio.NoEdge, gpio.PullNoChange, lines)
	if err != nil {
		return nil, err // not set: a nil *LineSet is no nil lineSet
	}
	return set, nil
}

// lineSet makes one request for lines and sees that it got these.
func (c periphChip) lineSet(direction gpioioctl.LineDir, edge gpio.Edge, pull gpio.Pull, lines []lineInfo) (*gpioioctl.LineSet, error) {
	var labels []string
	for _, l := range lines {
		labels = append(labels, l.label)
	}
	set, err := c.LineSet(direction, edge, pull, labels...)
	if err != nil && strings.Contains(err.Error(), syscall.EBUSY.Error()) {
		return nil, fmt.Errorf("%w (%w)", errBusy, err)
	}
	if err != nil {
		return nil, err
	}
	for i, l := range set.Lines() {
		if l == nil || l.Number() != lines[i].offset {
			return nil, errors.Join(fmt.Errorf("asked for line %s and got another one", lines[i]), set.Close())
		}
	}
	return set, nil
}
