package survey

import (
	"fmt"
	"io"
	"strings"
)

// screen writes lists and messages. On a terminal the list stays at the top and
// messages below it, above the line that is typed; else all follows in plain lines.
// Control sequences: ECMA-48 (from memory), save and restore of the cursor by the
// DEC private ones that every terminal of the kernel and of desktops knows.
type screen struct {
	to     io.Writer
	redraw bool

	height   int // of the list as drawn; 0: not yet
	messages []string
}

// keptMessages is how many lines of messages stay on a terminal.
const keptMessages = 12

func (s *screen) say(text string) {
	if !s.redraw {
		fmt.Fprintln(s.to, text)
		return
	}
	s.messages = append(s.messages, strings.Split(strings.TrimRight(text, "\n"), "\n")...)
	s.messages = s.messages[max(0, len(s.messages)-keptMessages):]
	s.height = 0
}

// typed is called when a line was typed, which has moved the cursor.
func (s *screen) typed() { s.height = 0 }

func (s *screen) list(lines []string) {
	if !s.redraw {
		fmt.Fprintln(s.to, strings.Join(lines, "\n"))
		return
	}
	if s.height != len(lines) {
		s.height = len(lines)
		fmt.Fprint(s.to, "\x1b[H\x1b[2J", s.cut(lines), "\n\n", strings.Join(s.messages, "\n"), "\n> ")
		return
	}
	// What is being typed stands below and must stay.
	fmt.Fprint(s.to, "\x1b7\x1b[H", s.cut(lines), "\x1b8")
}

// cut lets long lines end at the edge of the terminal instead of in another line.
func (s *screen) cut(lines []string) string {
	return "\x1b[?7l" + strings.Join(lines, "\x1b[K\n") + "\x1b[K\x1b[?7h"
}
