package control

import (
	"fmt"
	"strconv"
	"strings"
)

// Windows are the times of the day, in local civil time, in which something
// is wanted. They say "inside or not" for a moment, so that an hour which the
// clocks repeat counts both times and an hour which they skip is skipped.
type Windows []Window

// Window is one span of the day in minutes after midnight, 0 to 1440. It runs
// over midnight when To is not after From. To itself is outside.
type Window struct{ From, To int }

const dayMinutes = 24 * 60

// Contain tells whether a minute after midnight lies in one of the windows.
func (w Windows) Contain(minute int) bool {
	for _, x := range w {
		if x.From < x.To && minute >= x.From && minute < x.To ||
			x.From >= x.To && (minute >= x.From || minute < x.To) {
			return true
		}
	}
	return false
}

// Always tells whether the windows leave nothing out, so that no clock is
// needed to keep them.
func (w Windows) Always() bool { return len(w) == 1 && w[0] == Window{0, dayMinutes} }

// String writes the windows as [ParseWindows] reads them.
func (w Windows) String() string {
	if len(w) == 0 {
		return "never"
	}
	if w.Always() {
		return "always"
	}
	var parts []string
	for _, x := range w {
		parts = append(parts, clock(x.From)+" to "+clock(x.To))
	}
	return strings.Join(parts, ", ")
}

func clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// ParseWindows reads "05:30 to 07:00, 17:00 to 21:00", "always" or "never".
func ParseWindows(text string) (Windows, error) {
	switch strings.TrimSpace(text) {
	case "never":
		return nil, nil
	case "always":
		return Windows{{0, dayMinutes}}, nil
	}
	var w Windows
	for part := range strings.SplitSeq(text, ",") {
		from, to, ok := strings.Cut(part, " to ")
		a, errA := parseClock(from)
		b, errB := parseClock(to)
		if !ok || errA != nil || errB != nil || a == b {
			return nil, fmt.Errorf(`%q are no times of the day; write "05:30 to 07:00, 17:00 to 21:00", "always" or "never"`, text)
		}
		w = append(w, Window{a, b})
	}
	if len(w) > 24 {
		return nil, fmt.Errorf("%d windows are more than a day has hours; join some", len(w))
	}
	return w, nil
}

func parseClock(text string) (int, error) {
	h, m, ok := strings.Cut(strings.TrimSpace(text), ":")
	hour, errH := strconv.ParseUint(h, 10, 8)
	minute, errM := strconv.ParseUint(m, 10, 8)
	if !ok || len(m) != 2 || len(h) > 2 || errH != nil || errM != nil || minute > 59 || hour*60+minute > dayMinutes {
		return 0, fmt.Errorf("%q is no time of the day", text)
	}
	return int(hour*60 + minute), nil
}
