package station

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"slices"

	"golang.org/x/sys/unix"
)

var errCrash = errors.New("the power is gone")

// cardDisk is a storage card in memory. Its power can go at a chosen call, a
// call can fail while the power stays, and from a call on all can fail, as on a
// card that is full or was made read-only by the kernel. What was not synced
// when the power goes may be there, torn or gone; changes of names that were
// not synced may have happened, each by itself.
type cardDisk struct {
	calls   int   // so far
	crashAt int   // number of the call that no longer happens; 0 for never
	failAt  int   // number of the call that fails; 0 for never
	failsBy error // what it fails by
	lasting bool  // from that call on, all fail that would change something
	saves   int   // folder syncs that went well

	names   map[string]*cardFile
	durable map[string]*cardFile         // names as of the last folder sync
	journal []func(map[string]*cardFile) // changes of names since then
}

type cardFile struct {
	data   []byte
	synced []byte // nil when nothing of it is known to be on the card
}

func newCardDisk() *cardDisk {
	return &cardDisk{failsBy: unix.ENOSPC, names: map[string]*cardFile{}, durable: map[string]*cardFile{}}
}

// call counts a call; its error keeps the call from happening.
func (d *cardDisk) call(what string, changes bool) error {
	d.calls++
	switch {
	case d.crashAt > 0 && d.calls >= d.crashAt:
		return errCrash
	case d.failAt > 0 && (d.calls == d.failAt || d.lasting && changes && d.calls > d.failAt):
		return fmt.Errorf("%s: %w", what, d.failsBy)
	}
	return nil
}

func (d *cardDisk) change(do func(map[string]*cardFile)) {
	do(d.names)
	d.journal = append(d.journal, do)
}

func (d *cardDisk) lock(string) (io.Closer, error) {
	err := d.call("lock", false)
	if errors.Is(err, errCrash) {
		err = nil // nobody is there any more to be refused
	}
	return noLock{}, err
}

func (d *cardDisk) read(path string, _ int64) ([]byte, error) {
	if err := d.call("read", false); err != nil {
		return nil, err
	}
	f, ok := d.names[path]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return slices.Clone(f.data), nil
}

func (d *cardDisk) create(path string) (diskFile, error) {
	if err := d.call("create", true); err != nil {
		return nil, err
	}
	f, ok := d.names[path]
	if !ok {
		f = &cardFile{}
		d.change(func(names map[string]*cardFile) { names[path] = f })
	}
	f.data, f.synced = nil, nil
	return &openCardFile{d, f}, nil
}

func (d *cardDisk) rename(from, to string) error {
	if err := d.call("rename", true); err != nil {
		return err
	}
	f, ok := d.names[from]
	if !ok {
		return fs.ErrNotExist
	}
	d.change(func(names map[string]*cardFile) {
		if names[from] == f {
			delete(names, from)
		}
		names[to] = f
	})
	return nil
}

func (d *cardDisk) syncFolder(string) error {
	if err := d.call("sync of the folder", true); err != nil {
		return err
	}
	d.durable, d.journal = maps.Clone(d.names), nil
	d.saves++
	return nil
}

type openCardFile struct {
	disk *cardDisk
	file *cardFile
}

func (o *openCardFile) Write(p []byte) (int, error) {
	if err := o.disk.call("write", true); err != nil {
		o.file.data = append(o.file.data, p[:len(p)/2]...)
		return len(p) / 2, err
	}
	o.file.data = append(o.file.data, p...)
	return len(p), nil
}

func (o *openCardFile) Sync() error {
	if err := o.disk.call("sync", true); err != nil {
		return err
	}
	o.file.synced = slices.Clone(o.file.data)
	return nil
}

func (o *openCardFile) Close() error { return o.disk.call("close", false) }

// damages are what may have become of a content that was never synced.
var damages = []func([]byte) []byte{
	slices.Clone[[]byte],
	func(b []byte) []byte { return slices.Clone(b[:len(b)/2]) },
	func(b []byte) []byte { return slices.Clone(b[:max(0, len(b)-1)]) },
	func([]byte) []byte { return nil },
	func(b []byte) []byte { return make([]byte, len(b)) },
}

// mostApart is up to how many changes of names every choice of them is looked
// at; where more are open, every moment on their way is.
const mostApart = 6

// after gives every card that the board may find when the power is back.
func (d *cardDisk) after() []*cardDisk {
	var cards []*cardDisk
	for _, names := range d.namesAfter() {
		for _, damage := range damages {
			card := newCardDisk()
			damaged := false
			for name, f := range names {
				content := f.synced
				if content == nil {
					content = damage(f.data)
					damaged = true
				}
				content = slices.Clone(content)
				card.names[name] = &cardFile{data: content, synced: content}
			}
			card.durable = maps.Clone(card.names)
			cards = append(cards, card)
			if !damaged {
				break
			}
		}
	}
	return cards
}

// namesAfter gives the names that may be on the card.
func (d *cardDisk) namesAfter() []map[string]*cardFile {
	var all []map[string]*cardFile
	add := func(happened func(change int) bool) {
		names := maps.Clone(d.durable)
		for i, change := range d.journal {
			if happened(i) {
				change(names)
			}
		}
		all = append(all, names)
	}
	if n := len(d.journal); n <= mostApart {
		for choice := range 1 << n {
			add(func(i int) bool { return choice>>i&1 == 1 })
		}
	} else {
		for moment := range n + 1 {
			add(func(i int) bool { return i < moment })
		}
	}
	return all
}
