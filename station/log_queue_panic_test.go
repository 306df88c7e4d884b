package station

import (
	"context"
	"strings"
	"testing"
)

// wildWriter panics at its first line.
type wildWriter struct {
	strings.Builder
	wild bool
}

func (w *wildWriter) Write(p []byte) (int, error) {
	if w.wild {
		w.wild = false
		panic("a log of straw")
	}
	return w.Builder.Write(p)
}

// TestALogThatPanics loses a line, says so, and harms nobody.
func TestALogThatPanics(t *testing.T) {
	to := &wildWriter{wild: true}
	q := NewLogQueue(to)
	q.Write([]byte("first\n"))
	q.Write([]byte("second\n"))
	q.Close(context.Background())
	if got := to.String(); !strings.Contains(got, "lost_lines=1") || !strings.HasSuffix(got, "second\n") || strings.Contains(got, "first") {
		t.Errorf("the log reads %q", got)
	}
}
