package terminal

import (
	"io"
	"strings"
)

// What steers a terminal: ECMA-48 (from memory), and two private modes that the
// kernel's console and the terminals of desktops know, for the alternate screen and
// for the cursor. A console without an alternate screen shows the picture and keeps
// it.
const (
	enterScreen = "\x1b[?1049h\x1b[?25l\x1b[2J"
	leaveScreen = "\x1b[0m\x1b[2J\x1b[H\x1b[?25h\x1b[?1049l"
)

var tones = [...]string{usual: "", strong: "\x1b[1m", warning: "\x1b[1;31m", coldWater: "\x1b[36m", warmWater: "\x1b[33m", hotWater: "\x1b[31m"}

// drawn is a picture for a terminal. It is sent in one piece, so that nothing
// flickers, and writes over whatever was typed meanwhile.
func drawn(rows []row, colours bool) string {
	var b strings.Builder
	b.WriteString("\x1b[H")
	for i, r := range rows {
		if i > 0 {
			b.WriteString("\r\n")
		}
		b.WriteString("\x1b[2K")
		if tone := tones[r.tone]; colours && tone != "" {
			b.WriteString(tone + r.text + "\x1b[0m")
		} else {
			b.WriteString(r.text)
		}
	}
	b.WriteString("\x1b[0J")
	return b.String()
}

func writePicture(to io.Writer, rows []row) error {
	var b strings.Builder
	for _, r := range rows {
		b.WriteString(strings.TrimRight(r.text, " ") + "\n")
	}
	_, err := io.WriteString(to, b.String())
	return err
}
