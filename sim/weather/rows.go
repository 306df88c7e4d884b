package weather

import (
	"bufio"
	"compress/gzip"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"strconv"
	"strings"
)

// limits of a believable value, the same for every kind of file.
type limits struct {
	what      string
	low, high float64
	unit      string
}

var (
	globalLimits  = limits{"global horizontal irradiance", 0, 1600, "W/m2"}
	beamLimits    = limits{"beam normal irradiance", 0, 1400, "W/m2"}
	diffuseLimits = limits{"diffuse horizontal irradiance", 0, 1200, "W/m2"}
	airLimits     = limits{"air temperature", -90, 60, "degC"}
	windLimits    = limits{"wind speed", 0, 110, "m/s"}
)

// position names a spot in a file for error messages.
type position struct {
	file   string
	line   int
	column int // 0: the whole line
}

func (p position) errorf(format string, args ...any) error {
	where := fmt.Sprintf("weather: %s, line %d", p.file, p.line)
	if p.column > 0 {
		where += fmt.Sprintf(", column %d", p.column)
	}
	return fmt.Errorf("%s: %w", where, fmt.Errorf(format, args...))
}

// number reads a field within its limits. NaN and infinity are refused.
func (p position) number(field string, l limits) (float64, error) {
	value, err := strconv.ParseFloat(strings.TrimSpace(field), 64)
	if err != nil || math.IsNaN(value) || math.IsInf(value, 0) {
		return 0, p.errorf("%s is %q, want a number", l.what, field)
	}
	if value < l.low || value > l.high {
		return 0, p.errorf("%s is %g %s, want %g to %g", l.what, value, l.unit, l.low, l.high)
	}
	return value, nil
}

// lineReader hands out the lines of a file with their numbers. It takes the
// line ends of any system, a byte order mark and empty lines at the end.
type lineReader struct {
	scanner *bufio.Scanner
	at      position
}

func newLineReader(r io.Reader, name string) *lineReader {
	return &lineReader{scanner: bufio.NewScanner(r), at: position{file: name}}
}

const byteOrderMark = "\ufeff"

// next returns the next line split at commas; false at the end of the file.
func (l *lineReader) next() (fields []string, ok bool, err error) {
	text, ok := l.line()
	if ok && strings.TrimSpace(text) == "" {
		empty := l.at
		for ok && strings.TrimSpace(text) == "" {
			text, ok = l.line()
		}
		if ok {
			return nil, false, empty.errorf("this line is empty and others follow; take it out")
		}
		l.at = empty
	}
	if err := l.scanner.Err(); errors.Is(err, bufio.ErrTooLong) {
		return nil, false, l.at.errorf("cannot read on: this line has more than %d characters; is this a text file?", bufio.MaxScanTokenSize)
	} else if err != nil {
		return nil, false, l.at.errorf("cannot read on: %w", err)
	}
	if !ok {
		return nil, false, nil
	}
	return splitFields(text), true, nil
}

func (l *lineReader) line() (text string, ok bool) {
	l.at.line++
	if !l.scanner.Scan() {
		return "", false
	}
	text = strings.TrimRight(l.scanner.Text(), "\r")
	if l.at.line == 1 {
		text = strings.TrimPrefix(text, byteOrderMark)
	}
	return text, true
}

// splitFields splits a line at commas. A field may stand in double quotes, and
// hold commas and doubled quotes then (RFC 4180, within a line). Anything else
// with a quote in it is taken as it stands, as comments of a header have them.
func splitFields(text string) []string {
	if !strings.Contains(text, `"`) {
		return strings.Split(text, ",")
	}
	var fields []string
	for {
		field, rest, more := strings.Cut(text, ",")
		if quoted, after, ok := cutQuoted(text); ok {
			field, rest, more = quoted, strings.TrimPrefix(after, ","), after != ""
		}
		fields = append(fields, field)
		if !more {
			return fields
		}
		text = rest
	}
}

// cutQuoted takes a quoted field off the front of a line, up to a comma or the
// line's end.
func cutQuoted(text string) (field, after string, ok bool) {
	inside, ok := strings.CutPrefix(text, `"`)
	if !ok {
		return "", "", false
	}
	for end := 0; end < len(inside); end++ {
		if inside[end] != '"' {
			continue
		}
		if strings.HasPrefix(inside[end+1:], `"`) {
			end++
			continue
		}
		after = inside[end+1:]
		return strings.ReplaceAll(inside[:end], `""`, `"`), after, after == "" || after[0] == ','
	}
	return "", "", false
}

// openFile opens a weather file, unpacking it if its name ends in .gz.
func openFile(path string) (io.ReadCloser, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("weather: %w", err)
	}
	if !strings.HasSuffix(path, ".gz") {
		return f, nil
	}
	unpacked, err := gzip.NewReader(f)
	if err != nil {
		f.Close()
		return nil, fmt.Errorf("weather: %s is not a gzip file: %w", path, err)
	}
	return struct {
		io.Reader
		io.Closer
	}{unpacked, f}, nil
}
