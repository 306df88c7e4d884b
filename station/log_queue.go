package station

import (
	"context"
	"fmt"
	"io"
	"sync"
)

// logQueueDepth is how many lines of the log may wait.
const logQueueDepth = 1024

// LogQueue is a writer for the log that never blocks: lines wait in a queue
// and are written by a goroutine. When whoever reads the log hangs and the
// queue is full, lines are lost and their number is written later.
type LogQueue struct {
	to    io.Writer
	lines chan []byte
	ended chan struct{}

	mu     sync.Mutex
	lost   int
	closed bool
}

// NewLogQueue starts a queue that writes to a writer.
func NewLogQueue(to io.Writer) *LogQueue {
	q := &LogQueue{to: to, lines: make(chan []byte, logQueueDepth), ended: make(chan struct{})}
	go q.run()
	return q
}

// Write queues one line; it always succeeds.
func (q *LogQueue) Write(line []byte) (int, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	if q.closed {
		return len(line), nil
	}
	select {
	case q.lines <- append([]byte(nil), line...):
	default:
		q.lost++
	}
	return len(line), nil
}

func (q *LogQueue) run() {
	defer close(q.ended)
	for line := range q.lines {
		q.tellLost()
		// There is nowhere to tell that the log can't be written. A writer that panics
		// loses the line, and the station goes on without it: a log decides nothing.
		if protected("the log", func() error { q.to.Write(line); return nil }) != nil {
			q.lose(1)
		}
	}
}

// tellLost writes how many lines were lost; when it can't, they stay lost lines.
func (q *LogQueue) tellLost() {
	q.mu.Lock()
	lost := q.lost
	q.lost = 0
	q.mu.Unlock()
	if lost == 0 {
		return
	}
	line := fmt.Sprintf("level=WARN msg=\"the log could not keep up\" lost_lines=%d\n", lost)
	if protected("the log", func() error { _, err := io.WriteString(q.to, line); return err }) != nil {
		q.lose(lost)
	}
}

func (q *LogQueue) lose(lines int) {
	q.mu.Lock()
	defer q.mu.Unlock()
	q.lost += lines
}

// Close lets the lines that wait be written, for as long as the context lives.
func (q *LogQueue) Close(ctx context.Context) {
	q.mu.Lock()
	if !q.closed {
		q.closed = true
		close(q.lines)
	}
	q.mu.Unlock()
	select {
	case <-q.ended:
	case <-ctx.Done():
	}
}
