package actuators

import (
	"strings"
	"testing"
	"time"
)

// lines is a writer that can be made to fail.
type lines struct {
	strings.Builder
	full bool
}

func (l *lines) Write(p []byte) (int, error) {
	if l.full {
		return 0, errDrive
	}
	return l.Builder.Write(p)
}

func TestRecordWritesEveryChange(t *testing.T) {
	var c clock
	var w lines
	r := Record(NewSimulated(nil), &w, c.now)
	for i, level := range []float64{0, 1, 1, 0.25, 0} {
		c.at = time.Duration(i) * 1500 * time.Millisecond
		must(t, r.Set(Command{Level: level}))
	}
	must(t, r.Set(Command{Level: 1}))
	c.at = 10 * time.Second
	must(t, r.Safe())
	must(t, r.Set(Command{Level: 0.5}))
	c.at = 11 * time.Second
	must(t, r.Close())
	must(t, r.Close())
	want := "1.5 1\n4.5 0.25\n6 0\n6 1\n10 0\n10 0.5\n11 0\n"
	if got := w.String(); got != want {
		t.Errorf("record:\n%swant:\n%s", got, want)
	}
}

func TestRecordFailureStillDrives(t *testing.T) {
	r := Record(NewSimulated(nil), &lines{full: true}, still)
	says(t, r.Set(Command{Level: 1}), "driven to 1", "not recorded")
	if r.Level() != 1 {
		t.Error("not driven")
	}
	says(t, r.Safe(), "driven to 0", "not recorded")
	if r.Level() != 0 {
		t.Error("not off")
	}
}
