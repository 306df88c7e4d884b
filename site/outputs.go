package site

import (
	"bytes"
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
)

// Where says in words where an output is. Two outputs in one place have the same words.
func (o *OutputWiring) Where() string {
	switch o.Kind {
	case Relay:
		return lineWords(o.Chip, o.Line)
	case LevelFile:
		return "file " + filepath.Clean(o.File)
	case SpeedSignal:
		return fmt.Sprintf("channel %d of %s", o.PWM.Channel, filepath.Clean(o.PWM.Folder))
	case Modbus:
		return fmt.Sprintf("coil %d of unit %d on %s", o.Coil.Number, o.Coil.Unit, o.Coil.Connection.Place())
	}
	return o.Kind
}

// lineWords names a GPIO line in one way, whatever its chip is called.
func lineWords(chip, line string) string { return "line " + sameLine(line) + " of " + chipName(chip) }

// chipName is a chip's name without the path to it; a label may hold a slash.
func chipName(chip string) string {
	if filepath.IsAbs(chip) {
		return filepath.Base(chip)
	}
	return chip
}

// LoadOutputs is [ParseOutputs] for a file. One that can't be read has no outputs,
// and lost says so.
func LoadOutputs(path string) (s *Site, lost []string) {
	data, wrong := readFile(path)
	s, lost = ParseOutputs(path, data)
	if wrong.What != "" {
		lost = append(lost, wrong.What)
	}
	return s, lost
}

// ParseOutputs reads of a site file, which [Parse] may refuse, what it takes to drive
// its outputs off: the outputs, the guard, the state folder and the names of the
// systems. All else of the site is left empty. A line that is no TOML is passed over,
// and of a header its whole table; an output counts when its kind and all that says
// where it is can be relied on. Lost tells what of this could not be understood.
//
// It is for the way out of a mistake alone: nothing is ever switched on by it.
func ParseOutputs(fileName string, data []byte) (s *Site, lost []string) {
	w := newWalker(fileName, &schema)
	raw := w.readAround(bytes.ToValidUTF8(data, []byte("?")))
	passedOver := len(w.mistakes)
	for _, m := range w.mistakes {
		lost = append(lost, m.place())
	}
	w.walk(w.root, "", "", raw, true, target{site: w.site, settings: &w.site.Settings})
	for _, m := range w.mistakes[passedOver:] {
		if m.Key == "system.output" || strings.HasPrefix(m.Key, "system.output.") && strings.Count(m.Key, ".") == 2 {
			lost = append(lost, m.Key+" in "+m.place())
		}
	}
	s = &Site{File: fileName, Guard: w.site.Guard, StateFolder: cmp.Or(w.site.StateFolder, daemonTable.key("state_folder").def)}
	for _, system := range w.systems {
		s.Systems = append(s.Systems, System{Name: system.Name})
	}
	w.sortOutputs()
	for _, o := range w.outputs {
		path, name := w.wiringPath(o.System, "output", o.Actuator.String())
		if w.reachable(path, o.Kind) {
			s.Outputs = append(s.Outputs, *o)
		} else {
			lost = append(lost, fmt.Sprintf("%s in line %d", name, o.FileLine))
		}
	}
	return s, lost
}

// place is where a mistake is, in a sentence.
func (m Mistake) place() string {
	if m.Line == 0 {
		return "the whole file"
	}
	return fmt.Sprintf("line %d", m.Line)
}

// whereKeys are, for every kind, the keys that say where an output is and what off
// means there. What else an output has is for switching it on.
var whereKeys = map[string][]string{
	Relay:           {"chip", "line"},
	LevelFile:       {"file"},
	SpeedSignal:     {"pwm_chip", "pwm_channel", "signal_frequency", "signal_stop", "signal_slowest", "signal_full", "signal_inverted", "least"},
	Modbus:          {"connection", "unit_number", "coil"},
	SimulatedOutput: {},
}

func (w *walker) reachable(path, kind string) bool {
	unsound := func(key string) bool { return !w.sound[join(path, key)] }
	return !unsound("kind") && !slices.ContainsFunc(whereKeys[kind], unsound)
}

// mostPassedOver bounds how many lines of a file that is hardly TOML are passed over.
const mostPassedOver = 100

// readAround is read for a file of which single lines may be no TOML.
func (w *walker) readAround(data []byte) map[string]any {
	data, ok := w.text(data)
	for range mostPassedOver {
		if !ok {
			break
		}
		raw, whole := w.decode(data)
		if whole {
			w.positions = positionsOf(data)
			return raw
		}
		data, ok = without(data, w.mistakes[len(w.mistakes)-1].Line)
	}
	return nil
}

// without empties a line, so that the others keep their numbers; behind a header the
// table with it, whose keys would else fall to the table before. It is false when
// nothing is there to be emptied.
func without(data []byte, line int) ([]byte, bool) {
	lines := bytes.Split(data, []byte("\n"))
	isHeader := func(i int) bool { return bytes.HasPrefix(bytes.TrimSpace(lines[i]), []byte("[")) }
	first := line - 1
	if first < 0 || first >= len(lines) || len(bytes.TrimSpace(lines[first])) == 0 {
		return data, false
	}
	last := first + 1
	for isHeader(first) && last < len(lines) && !isHeader(last) {
		last++
	}
	for i := first; i < last; i++ {
		lines[i] = nil
	}
	return bytes.Join(lines, []byte("\n")), true
}
