package station

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"slices"
)

var errCrash = errors.New("the power is gone")

// cardDisk is a storage card in memory that loses its power at a chosen call.
// What was not synced when the power goes may be there, torn or gone.
type cardDisk struct {
	crashAt int // number of the call that no longer happens; 0 for never
	calls   int
	failAt  int // number of the call that fails while the power stays; 0 for never
	names   map[string]*cardFile
	durable map[string]*cardFile   // names as of the last folder sync
	journal []map[string]*cardFile // names after each change since then
}

type cardFile struct {
	data   []byte
	synced []byte
}

func newCardDisk() *cardDisk {
	return &cardDisk{names: map[string]*cardFile{}, durable: map[string]*cardFile{}}
}

// call counts a call; its error keeps the call from happening.
func (d *cardDisk) call(what string) error {
	d.calls++
	if d.crashAt > 0 && d.calls >= d.crashAt {
		return errCrash
	}
	if d.calls == d.failAt {
		return fmt.Errorf("%s: no space left", what)
	}
	return nil
}

func (d *cardDisk) changed() { d.journal = append(d.journal, maps.Clone(d.names)) }

func (d *cardDisk) read(path string, _ int64) ([]byte, error) {
	f, ok := d.names[path]
	if !ok {
		return nil, fs.ErrNotExist
	}
	return slices.Clone(f.data), nil
}

func (d *cardDisk) create(path string) (diskFile, error) {
	if err := d.call("create"); err != nil {
		return nil, err
	}
	f := &cardFile{}
	d.names[path] = f
	d.changed()
	return &openCardFile{d, f}, nil
}

func (d *cardDisk) rename(from, to string) error {
	if err := d.call("rename"); err != nil {
		return err
	}
	f, ok := d.names[from]
	if !ok {
		return fs.ErrNotExist
	}
	delete(d.names, from)
	d.names[to] = f
	d.changed()
	return nil
}

func (d *cardDisk) syncFolder(string) error {
	if err := d.call("sync of the folder"); err != nil {
		return err
	}
	d.durable, d.journal = maps.Clone(d.names), nil
	return nil
}

type openCardFile struct {
	disk *cardDisk
	file *cardFile
}

func (o *openCardFile) Write(p []byte) (int, error) {
	if err := o.disk.call("write"); err != nil {
		o.file.data = append(o.file.data, p[:len(p)/2]...)
		return len(p) / 2, err
	}
	o.file.data = append(o.file.data, p...)
	return len(p), nil
}

func (o *openCardFile) Sync() error {
	if err := o.disk.call("sync"); err != nil {
		return err
	}
	o.file.synced = slices.Clone(o.file.data)
	return nil
}

func (o *openCardFile) Close() error { return o.disk.call("close") }

// after gives every card that the board may find when the power is back: the
// names of any moment since the last folder sync, with contents that were
// never synced whole, torn, emptied or as zeros.
func (d *cardDisk) after() []*cardDisk {
	var cards []*cardDisk
	for _, names := range append([]map[string]*cardFile{d.durable}, d.journal...) {
		for _, damage := range []func([]byte) []byte{
			slices.Clone[[]byte],
			func(b []byte) []byte { return slices.Clone(b[:len(b)/2]) },
			func([]byte) []byte { return nil },
			func(b []byte) []byte { return make([]byte, len(b)) },
		} {
			card := newCardDisk()
			for name, f := range names {
				content := damage(f.data)
				if f.synced != nil {
					content = slices.Clone(f.synced)
				}
				card.names[name] = &cardFile{data: content, synced: content}
			}
			card.durable = maps.Clone(card.names)
			cards = append(cards, card)
		}
	}
	return cards
}
