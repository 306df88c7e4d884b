package hil

import (
	"strings"
	"testing"
	"time"
)

// The form is that of the kernel's file trace_pipe (Documentation/trace/ftrace.rst),
// with the events of include/trace/events/gpio.h; the figures are invented.
const someTrace = `        hil.test-88      [000] .....    10.000000: tracing_mark_write: scene: a guard that is killed
        hil.test-88      [000] .....    10.100000: tracing_mark_write: did: the guard starts
       sunstoker-99      [000] .....    10.200000: gpio_direction: 512 out (0)
       sunstoker-99      [000] .....    10.200000: gpio_value: 512 set 0
       sunstoker-99      [000] .....    10.300000: gpio_value: 513 set 1
       sunstoker-99      [000] .....    10.310000: gpio_value: 513 set 1
       sunstoker-99      [000] .....    10.320000: gpio_value: 513 get 1
        hil.test-88      [000] .....    11.000000: tracing_mark_write: did: the guard gets a kill -9
       sunstoker-99      [000] d....    11.250000: given_back: (gpio_sim_free+0x0/0x40 [gpio_sim_here]) line=1
        hil.test-88      [000] .....    12.000000: tracing_mark_write: did: the lines rest high
        hil.test-88      [000] d....    12.001000: pulled: (gpio_sim_apply_pull+0x0/0x120 [gpio_sim_here]) line=1 level=1
       sunstoker-77      [000] .....    12.500000: gpio_value: 513 set 0
        hil.test-88      [000] d....    12.600000: pulled: (gpio_sim_apply_pull+0x0/0x120 [gpio_sim_here]) line=1 level=0
        hil.test-88      [000] d....    12.700000: pulled: (gpio_sim_apply_pull+0x0/0x120 [gpio_sim_here]) line=1 level=1
        hil.test-88      [000] .....    13.000000: tracing_mark_write: something else
        hil.test-88      [000] .....    13.000000: tracing_mark_write: did: nothing at all
`

func eventsIn(t *testing.T, trace string) (events []Event) {
	t.Helper()
	for line := range strings.Lines(trace) {
		if e, is := ParseEvent(strings.TrimSuffix(line, "\n"), 512); is {
			events = append(events, e)
		}
	}
	return events
}

// TestLevels: the level follows who drives the line, and its pull when nobody does.
func TestLevels(t *testing.T) {
	doings, lines := Doings(eventsIn(t, someTrace), 2)
	var got strings.Builder
	if err := Levels(&got, doings, []string{"PUMP", "HEATER"}); err != nil {
		t.Fatal(err)
	}
	const want = `| what was done              | line   | becomes          | after   |
| -------------------------- | ------ | ---------------- | ------- |
| **a guard that is killed** |        |                  |         |
| the guard starts           | HEATER | on               | 0.200 s |
| the guard gets a kill -9   | HEATER | off, by its pull | 0.250 s |
| the lines rest high        | HEATER | on, by its pull  | 0.001 s |
|                            | HEATER | off              | 0.500 s |
| nothing at all             | none   |                  |         |
`
	if got.String() != want {
		t.Errorf("got\n%s\nwant\n%s", &got, want)
	}
	if lines[0].High || lines[1].High {
		t.Errorf("at the end: %+v", lines)
	}
}

// TestPulsesAreOneRow, and what is slower is not.
func TestPulsesAreOneRow(t *testing.T) {
	events := []Event{{Kind: Did, Words: "it pulses"}}
	at := time.Second
	for i := range 40 {
		events = append(events, Event{At: at, Kind: Driven, Line: 1, High: i%2 == 0})
		at += 50 * time.Millisecond
	}
	for i := range 4 {
		at += time.Second
		events = append(events, Event{At: at, Kind: Driven, Line: 1, High: i%2 == 0})
	}
	doings, _ := Doings(events, 2)
	changes := doings[0].Changes
	if len(changes) != 5 || changes[0].Pulses != 40 || changes[0].After != time.Second || changes[0].Until != 2950*time.Millisecond || changes[1].Pulses != 0 {
		t.Errorf("%+v", changes)
	}
}

// TestAGapInTheTraceIsSeen: the kernel says when it could not keep up.
func TestAGapInTheTraceIsSeen(t *testing.T) {
	if e, is := ParseEvent("CPU:0 [LOST 12 EVENTS]", 512); !is || e.Kind != Lost {
		t.Errorf("%+v", e)
	}
	for _, other := range []string{"", "# tracer: nop", "x-1 [000] ..... 1.0: gpio_value: 511 set 1", "x-1 [000] ..... 1.0: gpio_value: x set 1", "x-1 [000] ..... 1.0: given_back: (x) row=1"} {
		if e, is := ParseEvent(other, 512); is {
			t.Errorf("%q is taken for %+v", other, e)
		}
	}
}

func TestFigures(t *testing.T) {
	var got strings.Builder
	if err := Figures(&got, []Figure{{"kill -9", 1234 * time.Millisecond, 2 * time.Second}, {"a start", time.Minute, 0}}); err != nil {
		t.Fatal(err)
	}
	const want = `| what    | took     | at most |
| ------- | -------- | ------- |
| kill -9 | 1.234 s  | 2 s     |
| a start | 60.000 s |         |
`
	if got.String() != want {
		t.Errorf("got\n%s\nwant\n%s", &got, want)
	}
}
