package history

import (
	"strings"
	"testing"
	"time"
)

// TestTwoProgramsDoNotShareAFolder: the second says so and neither writes nor
// reads the other's history; what it watched meanwhile comes when the first ends.
func TestTwoProgramsDoNotShareAFolder(t *testing.T) {
	first := newHouse(t, t.TempDir())
	first.pass(20 * time.Minute)
	first.write()
	second := newHouse(t, first.h.o.Folder)
	second.tick.Wall.Time = first.tick.Wall.Time
	second.pass(20 * time.Minute)
	second.write()
	first.sound()
	if why := second.h.Trouble(); !strings.Contains(why, "another running program") || !strings.Contains(why, "folder under [history]") {
		t.Errorf("the second says %q", why)
	}
	if _, err := second.h.Open(); err == nil {
		t.Error("the second reads the history of the first")
	}
	if n := minutesIn(t, first.h.o.Folder); n != 19 { // the one that is open is not yet written
		t.Errorf("%d minutes, want those of the first", n)
	}
	first.stop()
	second.write()
	second.sound()
	r, err := second.h.Open()
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Close(); err != nil {
		t.Error(err)
	}
	second.stop()
	if n := minutesIn(t, first.h.o.Folder); n != 40 {
		t.Errorf("%d minutes, want those of both", n)
	}
}
