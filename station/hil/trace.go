package hil

import (
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Event is a line of the kernel's trace that says something about a GPIO line, or
// what the tests have done.
type Event struct {
	At    time.Duration // by the kernel's monotonic clock
	Kind  EventKind
	Line  int // of the chip; not of words
	High  bool
	Words string
}

// EventKind is what happened.
type EventKind int

// Kinds of event.
const (
	Driven    EventKind = iota // somebody drives a line to a level
	GivenBack                  // a line is nobody's any more, and falls to its pull
	Pulled                     // the pull of a line is set
	Did                        // the tests did something: Words
	Scene                      // a part of the trial begins: Words
	Lost                       // the kernel could not keep up: the trace has a gap
)

// Words in front of what the tests write into the trace.
const (
	didMark   = "did: "
	sceneMark = "scene: "
)

var traceLine = regexp.MustCompile(`^.*\s(\d+\.\d+): (\w+): (.*)$`)

// ParseEvent reads a line of the trace. first is the number that the kernel gives
// the chip's first line. There is none in lines about other things.
func ParseEvent(text string, first int) (e Event, is bool) {
	if strings.Contains(text, "[LOST ") {
		return Event{Kind: Lost, Words: strings.TrimSpace(text)}, true
	}
	m := traceLine.FindStringSubmatch(text)
	if m == nil {
		return Event{}, false
	}
	seconds, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		return Event{}, false
	}
	e.At = time.Duration(seconds * float64(time.Second))
	switch m[2] {
	case "gpio_value": // "513 set 1"
		words := strings.Fields(m[3])
		if len(words) != 3 || words[1] != "set" {
			return Event{}, false
		}
		number, err := strconv.Atoi(words[0])
		e.Kind, e.Line, e.High = Driven, number-first, words[2] == "1"
		return e, err == nil && e.Line >= 0
	case "given_back": // "(gpio_sim_free+0x0/0x40 [gpio_sim_here]) line=1"
		e.Kind = GivenBack
		return e, e.field(m[3], "line=")
	case "pulled":
		e.Kind = Pulled
		e.High = strings.Contains(m[3], "level=1")
		return e, e.field(m[3], "line=")
	case "tracing_mark_write":
		words, did := strings.CutPrefix(m[3], didMark)
		if e.Kind, e.Words = Did, words; did {
			return e, true
		}
		e.Words, did = strings.CutPrefix(m[3], sceneMark)
		e.Kind = Scene
		return e, did
	}
	return Event{}, false
}

func (e *Event) field(text, name string) bool {
	_, rest, found := strings.Cut(text, name)
	number, _, _ := strings.Cut(rest, " ")
	line, err := strconv.Atoi(number)
	e.Line = line
	return found && err == nil
}

// Line is the level of a line as the trace tells it.
type Line struct {
	High         bool
	driven, pull bool
}

// take follows an event of the line, and tells whether its level has changed.
func (l *Line) take(e Event) (changed bool) {
	before := l.High
	switch e.Kind {
	case Driven:
		l.driven, l.High = true, e.High
	case GivenBack:
		l.driven, l.High = false, l.pull
	case Pulled:
		if l.pull = e.High; !l.driven {
			l.High = e.High
		}
	}
	return l.High != before
}

// Change is a level that changed, or several at once, when a line pulses.
type Change struct {
	Line   int
	High   bool
	Driven bool          // by a program; else by its pull
	After  time.Duration // what was done last
	Pulses int           // 0 for a single change; else how many there were
	Until  time.Duration // of pulses: when the last one was, after what was done
}

// Doing is what the tests did, and what came of it.
type Doing struct {
	Scene   string
	Words   string
	Changes []Change
}

// Doings puts the changes of all lines behind what was done before them. The lines
// are low before the first event, and nobody's.
func Doings(events []Event, lines int) (doings []Doing, levels []Line) {
	levels = make([]Line, lines)
	scene, since := "", time.Duration(0)
	here := &Doing{}
	for _, e := range events {
		switch e.Kind {
		case Scene:
			scene = e.Words
			fallthrough
		case Did:
			since = e.At
			doings = append(doings, Doing{Scene: scene, Words: e.Words})
			here = &doings[len(doings)-1]
		case Driven, GivenBack, Pulled:
			if e.Line < lines && levels[e.Line].take(e) {
				l := levels[e.Line]
				here.add(Change{Line: e.Line, High: l.High, Driven: l.driven, After: e.At - since})
			}
		}
	}
	return doings, levels
}

// Pulses are changes of one line that come so close together, and so many of them.
const (
	pulseGap   = 200 * time.Millisecond
	leastPulse = 6
)

// add puts a change behind the others, or into the pulses that it belongs to.
func (d *Doing) add(c Change) {
	if n := len(d.Changes); n > 0 && d.Changes[n-1].Pulses > 0 {
		if last := &d.Changes[n-1]; last.Line == c.Line && c.After-last.Until <= pulseGap {
			last.Pulses, last.Until, last.High = last.Pulses+1, c.After, c.High
			return
		}
	}
	d.Changes = append(d.Changes, c)
	n := len(d.Changes)
	if n < leastPulse {
		return
	}
	run := d.Changes[n-leastPulse:]
	for i := range run {
		if run[i].Line != c.Line || run[i].Pulses > 0 || i > 0 && run[i].After-run[i-1].After > pulseGap {
			return
		}
	}
	run[0].Pulses, run[0].Until, run[0].High = leastPulse, c.After, c.High
	d.Changes = d.Changes[:n-leastPulse+1]
}

// Levels is a table of what was done and which levels changed then, for people.
func Levels(w io.Writer, doings []Doing, names []string) error {
	rows := [][]string{{"what was done", "line", "becomes", "after"}}
	scene := ""
	for _, d := range doings {
		words := d.Words
		if words == d.Scene { // it has just begun
			if len(d.Changes) == 0 {
				continue
			}
			words = "(nothing yet)"
		}
		if d.Scene != scene {
			scene = d.Scene
			rows = append(rows, []string{"**" + scene + "**", "", "", ""})
		}
		if len(d.Changes) == 0 {
			rows = append(rows, []string{words, "none", "", ""})
		}
		for _, c := range d.Changes {
			rows = append(rows, []string{words, names[c.Line], c.level(), c.after()})
			words = ""
		}
	}
	return table(w, rows)
}

func (c *Change) level() string {
	level := "off"
	if c.High {
		level = "on"
	}
	switch {
	case c.Pulses > 0:
		return fmt.Sprintf("%d changes, %s at last", c.Pulses, level)
	case !c.Driven:
		return level + ", by its pull"
	}
	return level
}

func (c *Change) after() string {
	if c.Pulses > 0 {
		return fmt.Sprintf("%.3f s to %.3f s", c.After.Seconds(), c.Until.Seconds())
	}
	return fmt.Sprintf("%.3f s", c.After.Seconds())
}

// Figure is a measured time with what it must not exceed; 0 where there is nothing.
type Figure struct {
	What string
	Took time.Duration
	Most time.Duration
}

// Figures is a table of measured times, for people.
func Figures(w io.Writer, figures []Figure) error {
	rows := [][]string{{"what", "took", "at most"}}
	for _, f := range figures {
		most := ""
		if f.Most > 0 {
			most = fmt.Sprintf("%g s", f.Most.Seconds())
		}
		rows = append(rows, []string{f.What, fmt.Sprintf("%.3f s", f.Took.Seconds()), most})
	}
	return table(w, rows)
}

// table writes rows as Markdown, whose columns stand below each other.
func table(w io.Writer, rows [][]string) error {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			width[i] = max(width[i], len([]rune(cell)))
		}
	}
	for n, row := range rows {
		for i, cell := range row {
			if _, err := fmt.Fprintf(w, "| %-*s ", width[i], cell); err != nil {
				return err
			}
		}
		if _, err := fmt.Fprintln(w, "|"); err != nil {
			return err
		}
		if n > 0 {
			continue
		}
		for i := range row {
			if _, err := fmt.Fprintf(w, "| %s ", strings.Repeat("-", width[i])); err != nil {
				return err
			}
		}
		if _, err := fmt.Fprintln(w, "|"); err != nil {
			return err
		}
	}
	return nil
}
