package sensors

import (
	"sync/atomic"
	"time"
)

// operation is one call into the kernel that has not returned yet.
type operation struct {
	what  string
	since time.Duration
}

// watchedFiles notes what the reader is doing while it does it.
type watchedFiles struct {
	files   files
	clock   Clock
	current *atomic.Pointer[operation]
}

func (w *watchedFiles) read(path string) ([]byte, error) {
	defer w.begin("reading " + path)()
	return w.files.read(path)
}

func (w *watchedFiles) write(path, text string) error {
	defer w.begin("writing " + path)()
	return w.files.write(path, text)
}

func (w *watchedFiles) list(path string) ([]string, error) {
	defer w.begin("listing " + path)()
	return w.files.list(path)
}

func (w *watchedFiles) begin(what string) (end func()) {
	w.current.Store(&operation{what, w.clock.Now()})
	return func() { w.current.Store(nil) }
}

// Stuck implements [Bus]; what names the file.
func (b *OneWire) Stuck() (since time.Duration, what string, stuck bool) {
	op := b.operation.Load()
	if op == nil || b.clock.Now()-op.since <= b.options.StuckAfter {
		return 0, "", false
	}
	return op.since, op.what, true
}
