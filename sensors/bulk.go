package sensors

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"sync/atomic"
	"time"
)

// One conversion for all probes of a master: the kernel's file therm_bulk_read.
// Writing "trigger" starts it. Reading gives -1 while a probe converts, 1 once
// all have converted and at least one has not been read, 0 when nothing is left
// to read. A probe that is not read then hands out that old value at its next
// read, however much later. Source: kernel documentation, ABI/testing,
// sysfs-driver-w1_therm.
const (
	bulkFile       = "therm_bulk_read"
	bulkTrigger    = "trigger\n"
	bulkConverting = "-1"
	bulkUnread     = "1"

	bulkPoll  = 50 * time.Millisecond
	bulkLimit = 2 * longestConversion
)

type bulkConversion struct {
	tree  *tree
	clock Clock
	note  atomic.Pointer[string]
}

func (c *bulkConversion) lastNote() string {
	if note := c.note.Load(); note != nil {
		return *note
	}
	return "each probe converts in its turn"
}

func (c *bulkConversion) say(note string) { c.note.Store(&note) }

// masterFiles lists the places where a master may have its file: below a
// master listed in the root, or in a root that is a master itself.
func (c *bulkConversion) masterFiles() ([]string, error) {
	names, err := c.tree.files.list(c.tree.root)
	if err != nil {
		return nil, err
	}
	var paths []string
	for _, name := range names {
		switch {
		case strings.HasPrefix(name, "w1_bus_master"):
			paths = append(paths, filepath.Join(c.tree.root, name, bulkFile))
		case name == bulkFile:
			paths = append(paths, filepath.Join(c.tree.root, bulkFile))
		}
	}
	return paths, nil
}

// start triggers every master and waits until none converts. It returns how
// many were triggered, and the errors of those that were not.
func (c *bulkConversion) start(ctx context.Context) (triggered int, err error) {
	paths, err := c.masterFiles()
	begun := c.clock.Now()
	var running []string
	for _, path := range paths {
		failed := c.tree.files.write(path, bulkTrigger)
		switch {
		case errors.Is(failed, fs.ErrNotExist): // a master without thermometers
		case failed != nil:
			err = errors.Join(err, failed)
		default:
			running = append(running, path)
		}
	}
	if err == nil && len(running) == 0 {
		err = fmt.Errorf("no master offers a file %s", bulkFile)
	}
	for _, path := range running {
		if failed := c.await(ctx, path, begun+bulkLimit); failed != nil {
			err = errors.Join(err, failed)
		}
	}
	return len(running), err
}

func (c *bulkConversion) await(ctx context.Context, path string, deadline time.Duration) error {
	for {
		state, err := c.state(path)
		if err != nil || state != bulkConverting {
			return err
		}
		if c.clock.Now() >= deadline {
			return fmt.Errorf("%s still reports a conversion after %v", path, bulkLimit)
		}
		if err := c.clock.Wait(ctx, c.clock.Now()+bulkPoll); err != nil {
			return err
		}
	}
}

// awaitOthers waits while a master converts for another program: a probe that is
// asked meanwhile answers nothing.
func (c *bulkConversion) awaitOthers(ctx context.Context) {
	paths, err := c.masterFiles()
	if err != nil {
		return // no tree; the read that follows tells
	}
	for _, path := range paths {
		// What can't be waited for is told by the read that follows.
		_ = c.await(ctx, path, c.clock.Now()+bulkLimit)
	}
}

func (c *bulkConversion) state(path string) (string, error) {
	text, err := c.tree.files.read(path)
	return strings.TrimSpace(string(text)), err
}

// leftUnread tells whether some probe still holds a value of a conversion
// started earlier, maybe by another program.
func (c *bulkConversion) leftUnread() bool {
	paths, err := c.masterFiles()
	if err != nil {
		return false // no tree, so no probe to hold anything
	}
	for _, path := range paths {
		state, err := c.state(path)
		if err != nil && !errors.Is(err, fs.ErrNotExist) || state == bulkUnread || state == bulkConverting {
			return true
		}
	}
	return false
}

// convertAll starts a pass with one conversion. Where a master could not be
// triggered, a probe may still hold the value of an earlier conversion: its
// date then stays the earlier one, since old is the safe side.
func (b *OneWire) convertAll(ctx context.Context) {
	begun := b.clock.Now()
	triggered, err := b.bulk.start(ctx)
	if err != nil {
		b.bulk.say("each probe converts in its turn: " + err.Error())
	} else {
		b.bulk.say("one conversion for all probes")
	}
	if triggered == 0 {
		return
	}
	for _, p := range b.probes {
		if err == nil || !p.converted {
			p.converted, p.convertedAt = true, begun
		}
	}
}

// discardOldConversions reads every probe once for nothing when the driver
// holds values whose age nobody knows.
func (b *OneWire) discardOldConversions(ctx context.Context) {
	if !b.bulk.leftUnread() {
		return
	}
	for _, p := range b.probes {
		if ctx.Err() != nil {
			return
		}
		// Whatever this gives, the pass that follows asks again and judges.
		_, _ = b.tree.record(p.identity)
	}
}
