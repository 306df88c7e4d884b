package actuators

import (
	"errors"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"periph.io/x/conn/v3/driver"
	"periph.io/x/conn/v3/driver/driverreg"
	"periph.io/x/host/v3/gpioioctl"
)

var _ lineSet = (*gpioioctl.LineSet)(nil)

type namedDriver struct {
	driver.Impl
	name string
}

func (d namedDriver) String() string { return d.name }

func TestNoChipsIsToldInWords(t *testing.T) {
	gpioDriver := namedDriver{name: "ioctl-gpio"}
	other := driverreg.DriverFailure{D: namedDriver{name: "other"}, Err: errors.New("not ours")}
	failed := &driverreg.State{Failed: []driverreg.DriverFailure{other, {D: gpioDriver, Err: errors.New("bad ioctl")}}}
	skipped := &driverreg.State{Skipped: []driverreg.DriverFailure{{D: gpioDriver}}}
	openable := put(t, t.TempDir(), "gpiochip0", "")
	gone := filepath.Join(t.TempDir(), "gpiochip1")

	says(t, noChips(failed, nil), "no GPIO chip", "the GPIO driver failed: bad ioctl", "container")
	says(t, noChips(skipped, []string{openable}), "was skipped and gave no reason", openable, "kernel from 5.10")
	says(t, noChips(&driverreg.State{}, []string{openable, gone}), "could be opened", gone, "group")
	if err := noChips(failed, nil); strings.Contains(err.Error(), "not ours") {
		t.Errorf("another driver's trouble is told: %v", err)
	}
}

// Pins of the registry are mapped into memory on common boards and owned by
// nobody; the full host package would load them.
func TestNoPinsFromTheRegistry(t *testing.T) {
	files, err := filepath.Glob("*.go")
	must(t, err)
	forbidden := map[string]bool{
		"periph.io/x/conn/v3/gpio/gpioreg": true,
		"periph.io/x/host/v3":              true,
		"periph.io/x/host/v3/bcm283x":      true,
		"periph.io/x/host/v3/sysfs":        true,
	}
	for _, name := range files {
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		must(t, err)
		for _, imp := range f.Imports {
			path, err := strconv.Unquote(imp.Path.Value)
			must(t, err)
			if forbidden[path] || strings.HasPrefix(path, "sunstoker") && !strings.HasSuffix(name, "_test.go") {
				t.Errorf("%s imports %s", name, path)
			}
		}
	}
}
