package survey

import (
	"bytes"
	"strings"
	"testing"
)

// On a terminal the list is drawn over itself, and what is being typed below it
// stays; only a message or another number of lines draws all anew.
func TestScreen(t *testing.T) {
	var out bytes.Buffer
	s := &screen{to: &out, redraw: true}
	drawn := func(do func()) string {
		out.Reset()
		do()
		return out.String()
	}
	const clears = "\x1b[2J"
	s.say("hello")
	if first := drawn(func() { s.list([]string{"a", "b"}) }); !strings.Contains(first, clears) || !strings.Contains(first, "hello") {
		t.Errorf("first: %q", first)
	}
	if again := drawn(func() { s.list([]string{"c", "d"}) }); strings.Contains(again, clears) || !strings.HasPrefix(again, "\x1b7") || !strings.HasSuffix(again, "\x1b8") {
		t.Errorf("again: %q", again)
	}
	for what, do := range map[string]func(){
		"a message": func() { s.say("more") }, "a typed line": s.typed, "one more line": func() { s.height-- },
	} {
		if anew := drawn(func() { do(); s.list([]string{"e", "f"}) }); !strings.Contains(anew, clears) {
			t.Errorf("after %s: %q", what, anew)
		}
	}
	for range 2 * keptMessages {
		s.say("again")
	}
	if len(s.messages) != keptMessages {
		t.Errorf("%d messages are kept", len(s.messages))
	}
}
