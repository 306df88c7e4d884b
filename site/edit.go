package site

import (
	"bytes"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sunstoker/control"
)

// Edit gives one table of a site file other keys. Comments and everything else in
// the file stay as they are.
type Edit struct {
	path   string // as positions are kept: "system[0].probe.tank_top"
	header string // as the file writes it: "[system.probe.tank_top]"
	system int    // whose table it is; control.House for those above all systems
	drop   []string
	lines  []string
	remove bool // the whole table goes
	noted  bool // a comment behind a key is about the key, and stays; behind a probe's identity it is about that probe
}

// RewireProbe wires a probe by these keys, each a line such as `kind = "modbus"`,
// in the place of whatever it was wired by. How it is felt in a simulation stays.
func RewireProbe(p control.Probe, lines ...string) Edit {
	e := wiringEdit(p.System, "probe", p.Place.String(), lines)
	for i := range probeKeys {
		if name := probeKeys[i].name; !slices.ContainsFunc(feltKeys, func(k key) bool { return k.name == name }) {
			e.drop = append(e.drop, name)
		}
	}
	return e
}

// RewireOutput is RewireProbe for an output.
func RewireOutput(o control.Output, lines ...string) Edit {
	e := wiringEdit(o.System, "output", o.Actuator.String(), lines)
	for _, k := range keysOfOutput(o.Actuator) {
		e.drop = append(e.drop, k.name)
	}
	return e
}

// RemoveProbe takes a probe out.
func RemoveProbe(p control.Probe) Edit {
	e := RewireProbe(p)
	e.remove = true
	return e
}

// RemoveTable takes a table of the house out, such as "mqtt".
func RemoveTable(table string) Edit {
	return Edit{path: table, header: "[" + table + "]", system: control.House, remove: true}
}

// SetKey sets one key of a table of the house, such as "daemon"; the value is
// written as TOML does.
func SetKey(table, name, value string) Edit {
	return Edit{path: table, header: "[" + table + "]", system: control.House, drop: []string{name}, lines: []string{name + " = " + value}, noted: true}
}

// SetSetting sets one setting of a system, or of the house, which is
// control.House; the value is written as a person writes it, such as "60 °C".
func SetSetting(system int, name, value string) Edit {
	e := SetKey("settings", name, strconv.Quote(value))
	if system != control.House {
		e.path, e.header, e.system = element("system", system)+".settings", "[system.settings]", system
	}
	return e
}

func wiringEdit(system int, what, which string, lines []string) Edit {
	w := &walker{}
	path, name := w.wiringPath(system, what, which)
	return Edit{path: path, header: "[" + name + "]", system: system, lines: lines}
}

// Header is the table as the file writes it: "[system.probe.tank_top]".
func (e Edit) Header() string { return e.header }

// Text is the table as it would stand in a file.
func (e Edit) Text() string { return e.header + "\n" + strings.Join(e.lines, "\n") + "\n" }

// Edited gives the text of a site file with the edits made. A table that is not
// there is added. The result is no better than the file was: [Parse] it. An error
// says which table has to be edited by hand.
func Edited(data []byte, edits ...Edit) ([]byte, error) {
	for _, e := range edits {
		var err error
		if data, err = e.apply(data); err != nil {
			return nil, err
		}
	}
	return data, nil
}

func (e Edit) apply(data []byte) ([]byte, error) {
	found := positionsOf(data)
	lines := strings.SplitAfter(string(bytes.TrimSuffix(data, []byte("\n")))+"\n", "\n")
	lines = lines[:len(lines)-1] // behind the last line there is nothing
	at, there := found[e.path]
	switch {
	case !there && e.remove:
		return data, nil
	case !there:
		return e.add(lines, found), nil
	}
	if !strings.HasPrefix(strings.TrimSpace(lines[at.line-1]), "[") {
		return nil, fmt.Errorf("line %d: the keys of %s are not written below a header of that name: write them so, or edit by hand", at.line, e.header)
	}
	if e.remove {
		return []byte(strings.Join(lines[:at.line-1], "") + strings.Join(lines[at.line-1+tableLines(lines[at.line-1:]):], "")), nil
	}
	old, comments := map[int]bool{}, map[string]string{}
	for _, name := range e.drop {
		if p, written := found[join(e.path, name)]; written {
			old[p.line] = true
			if e.noted {
				comments[name] = commentOf(lines[p.line-1])
			}
		}
	}
	var out strings.Builder
	for i, line := range lines {
		if !old[i+1] {
			out.WriteString(line)
		}
		if i+1 == at.line {
			out.WriteString(e.body(comments))
		}
	}
	return []byte(out.String()), nil
}

// tableLines is how many lines a table has that begins with the first one, up to
// its last key: what stands between that and the next header is about the next.
func tableLines(lines []string) int {
	last := 0
	for i, line := range lines[1:] {
		line = strings.TrimSpace(line)
		if strings.HasPrefix(line, "[") {
			break
		}
		if line != "" && !strings.HasPrefix(line, "#") {
			last = i + 1
		}
	}
	return last + 1
}

// body is what stands below the header; a key keeps the comment that stood behind it.
func (e Edit) body(comments map[string]string) string {
	var out strings.Builder
	for _, line := range e.lines {
		name, _, _ := strings.Cut(line, "=")
		if comment := comments[strings.TrimSpace(name)]; comment != "" {
			line += " " + comment
		}
		out.WriteString(line + "\n")
	}
	return out.String()
}

// commentOf is the comment behind a key and its value, with its sign; empty when there
// is none. A sign within a text is none.
func commentOf(line string) string {
	var quote rune
	escaped := false
	for i, r := range line {
		switch {
		case escaped:
			escaped = false
		case quote == '"' && r == '\\':
			escaped = true
		case quote != 0:
			if r == quote {
				quote = 0
			}
		case r == '"' || r == '\'':
			quote = r
		case r == '#':
			return strings.TrimSpace(line[i:])
		}
	}
	return ""
}

// add writes a new table: behind everything, or behind the last of its system's.
func (e Edit) add(lines []string, found positionMap) []byte {
	at := len(lines)
	if next, more := found[element("system", e.system+1)]; more && e.system != control.House {
		at = next.line - 1
	}
	text := strings.Join(lines[:at], "") + "\n" + e.Text()
	if at < len(lines) {
		text += "\n"
	}
	return []byte(text + strings.Join(lines[at:], ""))
}

// WiringLines gives the keys by which a probe is wired, as the file writes them.
func WiringLines(data []byte, p control.Probe) []string {
	e := RewireProbe(p)
	found := positionsOf(data)
	text := strings.Split(string(data), "\n")
	var lines []string
	for _, name := range e.drop {
		if at, written := found[join(e.path, name)]; written {
			lines = append(lines, strings.TrimSpace(text[at.line-1]))
		}
	}
	return lines
}
