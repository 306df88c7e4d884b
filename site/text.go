package site

import (
	"bytes"
	"fmt"
	"unicode/utf8"
)

// text looks at the file as text, before any meaning. It gives it back without
// the byte order mark that some editors put in front.
func (w *walker) text(data []byte) ([]byte, bool) {
	switch {
	case len(data) > maxBytes:
		w.wrongLine(position{}, "the file is larger than 1 MB", "this is no site file; a site file has a hundredth of that")
		return nil, false
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}):
		w.wrongLine(position{}, "the file is saved in the encoding UTF-16", "save it as UTF-8 in your editor")
		return nil, false
	}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	if at := firstInvalid(data); at >= 0 {
		w.wrongLine(newLines(data).at(at), fmt.Sprintf("the byte %#02x here is no UTF-8 text", data[at]),
			"save the file as UTF-8 in your editor; signs such as ° and ² are where it shows first")
		return nil, false
	}
	// The library may hand out slices of its input with room behind them; a
	// copy keeps the caller's bytes out of reach.
	return bytes.Clone(data), true
}

// firstInvalid is the index of the first byte that is no UTF-8, or -1.
func firstInvalid(data []byte) int {
	if utf8.Valid(data) {
		return -1
	}
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		if r == utf8.RuneError && size == 1 {
			return i
		}
		i += size
	}
	return -1
}
