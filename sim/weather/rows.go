package weather

import (
	"bufio"
	"compress/gzip"
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

// lineReader hands out the lines of a file with their numbers.
type lineReader struct {
	scanner *bufio.Scanner
	at      position
}

func newLineReader(r io.Reader, name string) *lineReader {
	return &lineReader{scanner: bufio.NewScanner(r), at: position{file: name}}
}

// next returns the next line split at commas; false at the end of the file.
func (l *lineReader) next() (fields []string, ok bool, err error) {
	l.at.line++
	if l.scanner.Scan() {
		return strings.Split(strings.TrimRight(l.scanner.Text(), "\r"), ","), true, nil
	}
	if err := l.scanner.Err(); err != nil {
		return nil, false, l.at.errorf("cannot read on: %w", err)
	}
	return nil, false, nil
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
