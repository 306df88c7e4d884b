//go:build hil

package hil

import (
	"bufio"
	"fmt"
	"os"
	"strings"
	"sync"
	"testing"
	"time"
)

const tracing = "/sys/kernel/tracing/"

// kernelProbes are set on the simulated chip's own functions, for what the kernel's
// events for lines do not tell. The arguments are those of drivers/gpio/gpio-sim.c of
// Linux 6.1.
const kernelProbes = "p:hil/given_back gpio_sim_free line=$arg2:u32\n" +
	"p:hil/pulled gpio_sim_apply_pull line=$arg2:u32 level=$arg3:s32\n"

// recorder keeps all that the kernel's trace says of the lines, from before the
// first test to after the last.
type recorder struct {
	first  int // the number of the chip's first line
	marker *os.File

	mu     sync.Mutex
	events []Event
	met    string // the newest mark of meet
	mark   int    // of record
	meets  int
}

// kernel is the recorder; nil on a board, whose lines the kernel shows otherwise.
var kernel *recorder

// startRecorder sets the kernel's tracing up, with the clock that Go measures by.
func startRecorder(first int) (*recorder, error) {
	for _, setting := range [][2]string{
		{"trace_clock", "mono"}, {"buffer_size_kb", "8192"}, {"kprobe_events", kernelProbes},
		{"events/gpio/enable", "1"}, {"events/hil/enable", "1"}, {"tracing_on", "1"},
	} {
		if err := os.WriteFile(tracing+setting[0], []byte(setting[1]), 0o644); err != nil {
			return nil, fmt.Errorf("tracing: %s can't be %q: %w", setting[0], setting[1], err)
		}
	}
	marker, err := os.OpenFile(tracing+"trace_marker", os.O_WRONLY, 0)
	if err != nil {
		return nil, err
	}
	pipe, err := os.Open(tracing + "trace_pipe")
	if err != nil {
		return nil, err
	}
	r := &recorder{first: first, marker: marker}
	go r.follow(pipe)
	return r, nil
}

const meetMark = "meet: "

// follow takes what the kernel writes, as it is written.
func (r *recorder) follow(pipe *os.File) {
	for lines := bufio.NewScanner(pipe); lines.Scan(); {
		text := lines.Text()
		e, is := ParseEvent(text, r.first)
		_, met, meets := strings.Cut(text, meetMark)
		r.mu.Lock()
		if is {
			r.events = append(r.events, e)
		}
		if meets {
			r.met = met
		}
		r.mu.Unlock()
	}
}

// write puts words into the trace, among what happens to the lines.
func (r *recorder) write(mark, words string) {
	if _, err := r.marker.WriteString(mark + words + "\n"); err != nil {
		panic(err) // then nothing that the tests say is worth anything
	}
}

// meet waits until all has arrived that was in the trace by now.
func (r *recorder) meet() {
	r.mu.Lock()
	r.meets++
	word := fmt.Sprint(r.meets)
	r.mu.Unlock()
	r.write(meetMark, word)
	for until := time.Now().Add(10 * time.Second); ; time.Sleep(time.Millisecond) {
		r.mu.Lock()
		met := r.met
		r.mu.Unlock()
		if met == word {
			return
		}
		if time.Now().After(until) {
			panic("the kernel's trace does not arrive")
		}
	}
}

// since gives what was recorded since the newest mark.
func (r *recorder) since() []Event {
	r.meet()
	r.mu.Lock()
	defer r.mu.Unlock()
	return r.events[r.mark:]
}

// record begins anew what driven looks at.
func record(t *testing.T) {
	t.Helper()
	kernel.meet()
	kernel.mu.Lock()
	defer kernel.mu.Unlock()
	kernel.mark = len(kernel.events)
}

// driven is what programs drove a line to since record, in its order.
func driven(t *testing.T, l line) (levels []string) {
	t.Helper()
	for _, e := range kernel.since() {
		if e.Kind == Driven && e.Line == int(l) {
			levels = append(levels, map[bool]string{false: "0", true: "1"}[e.High])
		}
	}
	return levels
}

// givenBack counts how often somebody has let go of a line since record.
func givenBack(t *testing.T, l line) (n int) {
	t.Helper()
	for _, e := range kernel.since() {
		if e.Kind == GivenBack && e.Line == int(l) {
			n++
		}
	}
	return n
}

// scene tells the trace that a part of the trial begins, and did that something was
// done.
func scene(words string) { note(sceneMark, words) }
func did(words string)   { note(didMark, words) }

func note(mark, words string) {
	if kernel != nil {
		kernel.write(mark, words)
	}
}

// lineNames are those of guest/init.
var lineNames = []string{"PUMP", "HEATER", "SPARE", "METER"}

// tables prints all that was measured; the boot script keeps what begins so.
func tables() error {
	var text strings.Builder
	fmt.Fprint(&text, figuresTitle(), "\n\n")
	if err := Figures(&text, figures); err != nil {
		return err
	}
	if kernel != nil {
		kernel.meet()
		fmt.Fprint(&text, "\nEvery change of a level:\n\n")
		doings, levels := Doings(kernel.events, len(lineNames))
		if err := Levels(&text, doings, lineNames); err != nil {
			return err
		}
		if err := kernel.sound(levels); err != nil {
			return err
		}
	}
	for row := range strings.Lines(text.String()) {
		fmt.Print("table: ", row)
	}
	return nil
}

func figuresTitle() string {
	if onBoard() {
		return fmt.Sprintf("On the %s:", boardName())
	}
	return "In the emulated kernel:"
}

// sound holds the levels that follow from the trace against those that the chip
// shows, and sees that the trace has no gap.
func (r *recorder) sound(levels []Line) error {
	for _, e := range r.events {
		if e.Kind == Lost {
			return fmt.Errorf("the kernel's trace has a gap: %s", e.Words)
		}
	}
	for i, l := range levels {
		shown, err := os.ReadFile(line(i).file("value"))
		if err != nil {
			return err
		}
		if is := strings.TrimSpace(string(shown)) == "1"; is != l.High {
			return fmt.Errorf("by its trace %s is high=%v, by the chip high=%v: the table above is wrong", lineNames[i], l.High, is)
		}
	}
	return nil
}
