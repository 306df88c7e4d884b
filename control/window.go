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
		if (minute-x.From+dayMinutes)%dayMinutes < x.minutes() {
			return true
		}
	}
	return false
}

// until is how many minutes it takes from a minute after midnight on until a
// window is open, or none is; a whole day when that never comes.
func (w Windows) until(open bool, minute int) (after int) {
	for after < dayMinutes && w.Contain((minute+after)%dayMinutes) != open {
		after++
	}
	return after
}

// since is how many minutes ago, seen from a minute after midnight, a window was last open,
// or none was; 0 when that is so, and a whole day when it never is.
func (w Windows) since(open bool, minute int) (ago int) {
	for ago < dayMinutes && w.Contain((minute-ago+dayMinutes)%dayMinutes) != open {
		ago++
	}
	return ago
}

// NextOpening is the time of the day, "16:00", at which the next window opens,
// seen from a minute after midnight; empty when one is open then or none ever is.
func (w Windows) NextOpening(minute int) string {
	after := w.until(true, minute)
	if after == 0 || after == dayMinutes {
		return ""
	}
	return clock((minute + after) % dayMinutes)
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
		parts = append(parts, x.String())
	}
	return strings.Join(parts, ", ")
}

func clock(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60, minute%60) }

// ParseWindows reads "05:30 to 07:00, 17:00 to 21:00", "always" or "never". The
// error says what is wrong with the windows and what to write.
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
		if !ok || errA != nil || errB != nil {
			return nil, fmt.Errorf(`%q are no times of the day; write "05:30 to 07:00, 17:00 to 21:00", "always" or "never"`, text)
		}
		w = append(w, Window{a, b})
	}
	if err := w.check(); err != nil {
		return nil, err
	}
	return w, nil
}

// check refuses windows that never open, that overlap, so that one of them is not
// what its writer thinks, or that are always open without saying so: those would
// wait for a clock for nothing.
func (w Windows) check() error {
	if len(w) > 24 {
		return fmt.Errorf("%d windows are more than a day has hours; join some", len(w))
	}
	total := 0
	for i, x := range w {
		switch {
		case x.From%dayMinutes == x.To%dayMinutes && (x.From != 0 || x.To != dayMinutes):
			return fmt.Errorf(`the window %q ends when it begins; write "always", "never", or another end`, x)
		case x.From == dayMinutes:
			return fmt.Errorf("the window %q begins at the end of the day; write %q", x, Window{0, x.To})
		}
		total += x.minutes()
		for _, y := range w[:i] {
			if (Windows{x}).Contain(y.From) || (Windows{y}).Contain(x.From) {
				return fmt.Errorf("the windows %q and %q overlap; write one window for both, or mend the one that is wrong", y, x)
			}
		}
	}
	if len(w) > 1 && total == dayMinutes {
		return fmt.Errorf(`the windows %q leave nothing of the day out; write "always"`, w)
	}
	return nil
}

// minutes is how long the window is.
func (x Window) minutes() int {
	if x.From < x.To {
		return x.To - x.From
	}
	return x.To + dayMinutes - x.From
}

// String writes the window as [ParseWindows] reads it.
func (x Window) String() string { return clock(x.From) + " to " + clock(x.To) }

func parseClock(text string) (int, error) {
	h, m, ok := strings.Cut(strings.TrimSpace(text), ":")
	hour, errH := strconv.ParseUint(h, 10, 8)
	minute, errM := strconv.ParseUint(m, 10, 8)
	if !ok || len(m) != 2 || len(h) > 2 || errH != nil || errM != nil || minute > 59 || hour*60+minute > dayMinutes {
		return 0, fmt.Errorf("%q is no time of the day", text)
	}
	return int(hour*60 + minute), nil
}
