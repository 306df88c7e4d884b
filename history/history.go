package history

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"time"

	"golang.org/x/sys/unix"

	"sunstoker/station/tick"
)

// How minutes get to the storage. Instants are those of ticks.
const (
	// gatherFor is how long minutes are gathered before they are written, all in one
	// transaction; the package comment has what a card would bear of other lengths.
	gatherFor = 10 * time.Minute
	// mostWaiting is how many minutes wait while the storage fails; then the oldest
	// is lost.
	mostWaiting = 24 * 60
	// mostUndated is how many minutes wait for a clock that is trusted; then the
	// oldest is written by the board's own clock, and marked as not sure.
	mostUndated = 6 * 60
	// patience is how long a write may take before somebody is told.
	patience = 15 * time.Minute
	// leastFreeBytes is left free on the storage, so that the controller's memory
	// can still be saved.
	leastFreeBytes = 32_000_000
)

// Options say where a history lies and how long it is kept.
type Options struct {
	Folder     string        // absolute path; made when it is missing
	MinutesFor time.Duration // how long minutes are kept
	AllFor     time.Duration // how long all the rest is kept
	Log        *slog.Logger

	query string                       // for SQLite's driver, in tests
	free  func(string) (uint64, error) // bytes free for a folder; the kernel's when nil
}

// History watches ticks and writes them down. It implements [tick.Watcher].
type History struct {
	o    Options
	path string
	wake chan struct{}

	mu      sync.Mutex
	gather  gatherer
	waiting []*minute     // watched to their end, not yet written; in the order of instants
	taken   []*minute     // those of the write under way
	lost    int           // minutes that were dropped and are not yet told
	allLost int           // since the start
	now     time.Duration // instant of the newest tick
	asked   time.Duration // instant at which the writer was last woken
	begun   time.Duration // instant at which the write under way began
	writing bool
	trouble string // why the last write failed; empty when it did not
	others  bool   // the folder's history is that of another program

	// The writer's own:
	lock  *os.File // keeps other programs out; nil until it is held
	store *store
}

// New makes the history of a site. It touches no storage until Run.
func New(o Options) *History {
	if o.free == nil {
		o.free = freeBytes
	}
	return &History{o: o, path: filepath.Join(o.Folder, FileName), wake: make(chan struct{}, 1)}
}

// Watch implements [tick.Watcher]: it takes a tick in and returns.
func (h *History) Watch(t *tick.Tick) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.now = t.At
	if t.Wall.Trusted {
		h.date(t)
	}
	if m := h.gather.add(t); m != nil {
		h.queue(m)
	}
	if len(h.waiting) > 0 && t.At-h.asked >= gatherFor {
		h.asked = t.At
		select {
		case h.wake <- struct{}{}:
		default:
		}
	}
}

// date gives the minutes that wait for a trusted clock their time, by how long
// ago they were.
func (h *History) date(t *tick.Tick) {
	for i := len(h.waiting) - 1; i >= 0 && !h.waiting[i].trusted; i-- {
		m := h.waiting[i]
		m.wall, m.trusted = t.Wall.Time.Add(m.at-t.At).UTC().Round(0), true
	}
}

// queue lets a minute wait for the writer.
func (h *History) queue(m *minute) {
	h.waiting = append(h.waiting, m)
	h.bound()
}

// bound drops what waits beyond what may.
func (h *History) bound() {
	if over := len(h.waiting) - mostWaiting; over > 0 {
		h.waiting = slices.Delete(h.waiting, 0, over)
		h.lost += over
		h.allLost += over
	}
}

// Trouble says why nothing is written, empty when all is well. It returns at
// once, whatever the storage does.
func (h *History) Trouble() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	why := h.trouble
	if h.writing && h.now-h.begun > patience {
		why = "the storage does not come back from a write"
	}
	if why != "" && h.allLost > 0 {
		why += fmt.Sprintf("; lost so far: %d min", h.allLost)
	}
	return why
}

// Run writes until the context ends, and then what is left. What fails is tried
// again at the next write; Run does not return before its context ends.
func (h *History) Run(ctx context.Context) error {
	h.attempt(false)
	for {
		select {
		case <-h.wake:
			h.attempt(false)
		case <-ctx.Done():
			h.attempt(true)
			if err := h.close(); err != nil {
				h.note(err)
			}
			return nil
		}
	}
}

// Flush writes what waits, in the caller's time: for ticks that come faster than
// time, with no Run beside it. Trouble says when it has failed.
func (h *History) Flush() { h.attempt(false) }

// close gives file and folder back.
func (h *History) close() error {
	var errs []error
	if h.store != nil {
		errs = append(errs, h.store.close())
		h.store = nil
	}
	if h.lock != nil {
		errs = append(errs, h.lock.Close())
		h.lock = nil
	}
	return errors.Join(errs...)
}

// attempt writes what waits, and remembers what came of it.
func (h *History) attempt(last bool) {
	minutes := h.take(last)
	err := h.writeOrBeginAnew(minutes)
	h.mu.Lock()
	h.writing, h.taken = false, nil
	if err != nil {
		h.waiting = append(minutes, h.waiting...)
		h.bound()
	}
	h.mu.Unlock()
	h.note(err)
}

// take hands what can be written to the writer: what is dated, and of the rest
// what must not wait any longer.
func (h *History) take(last bool) []*minute {
	h.mu.Lock()
	defer h.mu.Unlock()
	if last {
		if m := h.gather.stop(); m != nil {
			h.queue(m)
		}
	}
	undated := 0
	for !last && undated < min(len(h.waiting), mostUndated) && !h.waiting[len(h.waiting)-1-undated].trusted {
		undated++
	}
	n := len(h.waiting) - undated
	minutes := slices.Clone(h.waiting[:n])
	h.waiting = slices.Delete(h.waiting, 0, n)
	if h.lost > 0 && n > 0 {
		minutes[0].events = append(minutes[0].events, watched{minutes[0].at, Event{Kind: Missed, What: missedMinutes, Values: [3]float64{float64(h.lost)}}})
		h.lost = 0
	}
	h.writing, h.begun, h.taken = true, h.now, minutes
	return minutes
}

// writeOrBeginAnew writes minutes; a file that turns out to be damaged is set
// aside, and they are the first of a new one.
func (h *History) writeOrBeginAnew(minutes []*minute) error {
	err := h.write(minutes)
	if err == nil {
		return nil
	}
	if h.store != nil {
		if closing := h.store.close(); closing != nil {
			h.o.Log.Warn("the history's file could not be closed", "error", closing)
		}
		h.store = nil
	}
	if !isDamaged(err) {
		return err
	}
	aside, moved := setAside(h.path, h.today())
	if moved != nil {
		return fmt.Errorf("%w, and can't be set aside: %w", err, moved)
	}
	h.o.Log.Warn("the history's file is damaged; it was set aside, and a new one is begun", "file", aside, "error", err)
	return h.write(minutes)
}

// today is the day by the board's clock, for a file's name.
func (h *History) today() time.Time {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.gather.before == nil {
		return time.Now()
	}
	return h.gather.before.Wall.Time
}

func (h *History) write(minutes []*minute) error {
	free, err := h.o.free(h.o.Folder)
	if err == nil && free < leastFreeBytes {
		return fmt.Errorf("only %d MB are free on the storage, and the history leaves %d MB for the controller's memory: free some space, or make the history smaller with the command \"history shrink\"", free/1e6, leastFreeBytes/1_000_000)
	}
	if h.store == nil {
		if err := h.open(); err != nil {
			return err
		}
	}
	if len(minutes) == 0 {
		return nil
	}
	return h.store.write(minutes, limitsOf(h.o.MinutesFor, h.o.AllFor))
}

// open opens the file. One that was not closed in good order is looked through:
// whoever took the power away may have spoilt it.
func (h *History) open() (err error) {
	if h.lock == nil {
		h.lock, err = lock(h.o.Folder)
		h.mu.Lock()
		h.others = errors.Is(err, errShared)
		h.mu.Unlock()
		if err != nil {
			return err
		}
	}
	log, err := os.Stat(h.path + "-wal")
	unclean := err == nil && log.Size() > 0
	s, err := openStore(h.path, h.o.query)
	if err != nil {
		return err
	}
	if unclean {
		if err := s.checkQuickly(); err != nil {
			h.store = s
			return err
		}
	}
	h.store = s
	return nil
}

// note keeps what came of a write, and logs when that changes.
func (h *History) note(err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	now := ""
	if err != nil {
		now = h.path + ": " + inWords(err)
	}
	switch was := h.trouble; {
	case now == "" && was != "":
		h.o.Log.Info("the history is written again")
	case now != "" && was == "":
		h.o.Log.Error("the history can't be written; pump and heater are looked after all the same", "error", now)
	}
	h.trouble = now
}

// freeBytes asks the kernel how much is free for a folder, or for the one that it
// will be made in.
func freeBytes(folder string) (uint64, error) {
	for ; ; folder = filepath.Dir(folder) {
		var fs unix.Statfs_t
		err := unix.Statfs(folder, &fs)
		if err == nil {
			return fs.Bavail * uint64(fs.Bsize), nil
		}
		if err != unix.ENOENT || folder == filepath.Dir(folder) {
			return 0, err
		}
	}
}

// Open opens the history for reading, together with what waits to be written. It
// does not while another program writes there: that would be another house's.
func (h *History) Open() (*Reader, error) {
	h.mu.Lock()
	others := h.others
	h.mu.Unlock()
	if others {
		return nil, fmt.Errorf("%s: %w", h.path, errShared)
	}
	r, err := Open(h.o.Folder)
	if err != nil {
		return nil, err
	}
	r.recent = h.recent
	return r, nil
}

// recent gives the minutes that are not yet written, and what happened in them, in
// the order of instants.
func (h *History) recent() (rows []row, events []Event) {
	h.mu.Lock()
	defer h.mu.Unlock()
	for _, m := range slices.Concat(h.taken, h.waiting) {
		r := m.row
		r.start, r.sure = m.start(), m.trusted
		rows = append(rows, r)
		for i := range m.events {
			events = append(events, m.event(i))
		}
	}
	return rows, events
}
