package paper

import (
	"strings"
	"unicode"
)

// Plain makes one line of text of whatever came from outside, such as a driver's words
// or a name: nothing in it steers a terminal or turns the direction of reading. A space
// stands for a break of any kind, a question mark for what is no character to be seen.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case r == unicode.ReplacementChar, !unicode.IsPrint(r):
			return '?'
		}
		return r
	}, text)
}
