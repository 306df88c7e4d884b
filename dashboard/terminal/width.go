package terminal

import "unicode"

// wide are characters that take two columns, roughly as Unicode's annex on East
// Asian width has them (from memory).
var wide = &unicode.RangeTable{
	R16: []unicode.Range16{{Lo: 0x1100, Hi: 0x115f, Stride: 1}, {Lo: 0x2e80, Hi: 0xa4cf, Stride: 1}, {Lo: 0xac00, Hi: 0xd7a3, Stride: 1},
		{Lo: 0xf900, Hi: 0xfaff, Stride: 1}, {Lo: 0xfe30, Hi: 0xfe6f, Stride: 1}, {Lo: 0xff00, Hi: 0xff60, Stride: 1}, {Lo: 0xffe0, Hi: 0xffe6, Stride: 1}},
	R32: []unicode.Range32{{Lo: 0x1f300, Hi: 0x1faff, Stride: 1}, {Lo: 0x20000, Hi: 0x3fffd, Stride: 1}},
}

// columnsOf is how many columns a character takes.
func columnsOf(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case unicode.Is(wide, r):
		return 2
	}
	return 1
}

// width is how many columns a text takes.
func width(text string) (columns int) {
	for _, r := range text {
		columns += columnsOf(r)
	}
	return columns
}

// cut ends a text at the edge of the terminal.
func cut(text string, columns int) string {
	for i, r := range text {
		if columns -= columnsOf(r); columns < 0 {
			return text[:i]
		}
	}
	return text
}
