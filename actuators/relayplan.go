package actuators

import (
	"errors"
	"fmt"
	"strings"
)

// plan checks the wiring and makes the relays, in the order of lines.
func (b *RelayBank) plan(c chip, lines []RelayLine) ([]lineInfo, error) {
	if len(lines) == 0 || len(lines) > mostLines {
		return nil, fmt.Errorf("%d relay lines wanted on chip %s: one bank takes 1 to %d", len(lines), c.name(), mostLines)
	}
	var infos []lineInfo
	var errs []error
	for i, line := range lines {
		info, err := b.planned(c, line)
		errs = append(errs, err)
		infos = append(infos, info)
		b.relays = append(b.relays, &Relay{bank: b, line: line, info: info, bit: 1 << i})
	}
	return infos, errors.Join(errs...)
}

func (b *RelayBank) planned(c chip, line RelayLine) (lineInfo, error) {
	if line.Name == "" {
		return lineInfo{}, fmt.Errorf("the relay on line %q of chip %s has no name: give it one", line.Line, c.name())
	}
	if line.ActiveLow {
		return lineInfo{}, fmt.Errorf("relay %s is wired to be on while its line is low: it would click on at each start and may stay on after a crash%s; use a board that is on while the line is high, or put an inverting driver before it",
			line.Name, heatWords(line))
	}
	info, err := findLine(c, line.Line)
	if err != nil {
		return info, fmt.Errorf("relay %s: %w", line.Name, err)
	}
	for _, r := range b.relays {
		if r.line.Name == line.Name {
			return info, fmt.Errorf("two relays are called %s: give each a name of its own", line.Name)
		}
		if r.info == info {
			return info, fmt.Errorf("relays %s and %s are both on line %s of chip %s: give each a line of its own", r.line.Name, line.Name, info, c.name())
		}
	}
	return info, nil
}

// refusedRequest explains a failed request. The kernel does not say which line
// was taken; the consumers it told earlier narrow it down.
func refusedRequest(chip string, relays []*Relay, err error) error {
	if !errors.Is(err, errBusy) {
		return fmt.Errorf("the relay lines of chip %s could not be requested: %w; check the board's wiring table and its kernel log", chip, err)
	}
	var all, told []string
	for _, r := range relays {
		all = append(all, fmt.Sprintf("%s on %s", r.line.Name, r.info))
		if r.info.consumer != "" {
			told = append(told, fmt.Sprintf("%s on %s by %q", r.line.Name, r.info, r.info.consumer))
		}
	}
	who := "one or more of these relay lines: " + strings.Join(all, ", ") + " (the kernel told no holder's name)"
	if len(told) > 0 {
		who = strings.Join(told, ", ")
	}
	return fmt.Errorf("chip %s: another program or a kernel driver (or this program, if it opened the chip twice) holds %s: %w; stop it, or give the relay another line: two masters of one relay are never safe", chip, who, err)
}
