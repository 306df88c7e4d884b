package actuators

import (
	"fmt"
	"strings"
)

// ChipsInUse says of every GPIO chip of the board, in one sentence each, what a
// site file calls it, which lines have labels and who holds which. It takes no
// line. Consumers are as of the program's first look at the chips.
func ChipsInUse() ([]string, error) {
	chips, err := openChips()
	if err != nil {
		return nil, err
	}
	return chipWords(chips), nil
}

func chipWords(chips []chip) (words []string) {
	for _, c := range chips {
		var free, held []string
		lines := c.lines()
		for _, l := range lines {
			name := l.label
			if name == "" {
				name = fmt.Sprint(l.offset)
			}
			switch {
			case l.consumer != "":
				held = append(held, name+" by "+l.consumer)
			case l.label != "":
				free = append(free, name)
			}
		}
		text := fmt.Sprintf("GPIO chip %s (%s): %d lines", c.name(), c.label(), len(lines))
		if len(held) > 0 {
			text += "; held: " + strings.Join(held, ", ")
		}
		if len(free) > 0 {
			text += "; free, with a label: " + strings.Join(free, ", ")
		}
		words = append(words, text)
	}
	return words
}
