package site

import (
	"bytes"
	"errors"
	"io"
	"io/fs"
	"os"

	"sunstoker/control"
)

// maxBytes is the largest site file that is read. The starter file has a
// hundredth of it.
const maxBytes = 1 << 20

// Load reads a site file. The error is a *Mistakes.
func Load(path string) (*Site, error) { return load(path, Parse) }

// load reads a file and hands it to what parses it.
func load[T any](path string, parse func(string, []byte) (*T, error)) (*T, error) {
	data, wrong := readFile(path)
	if wrong.What != "" {
		wrong.File = path
		return nil, &Mistakes{List: []Mistake{wrong}}
	}
	return parse(path, data)
}

// readFile gives the file's bytes, at most one more than maxBytes. A Mistake
// with What set tells why it can't.
func readFile(path string) ([]byte, Mistake) {
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, Mistake{What: "there is no such file", Do: "check the path and the spelling of the name"}
	case err != nil:
		return nil, unreadable(err)
	case info.IsDir():
		return nil, Mistake{What: "this is a folder", Do: "name the site file inside of it"}
	case !info.Mode().IsRegular():
		return nil, Mistake{What: "this is a device or a pipe", Do: "name a plain file"}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, unreadable(err)
	}
	data, err := io.ReadAll(io.LimitReader(f, maxBytes+1))
	if err := errors.Join(err, f.Close()); err != nil {
		return nil, unreadable(err)
	}
	return data, Mistake{}
}

func unreadable(err error) Mistake {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		err = pathError.Err // the path stands in front of the message already
	}
	return Mistake{What: "it cannot be read: " + err.Error(), Do: "check the file's rights and the disk"}
}

// Parse reads the text of a site file; fileName is used in messages alone. The
// error is a *Mistakes that holds every mistake of the file. Text that is no
// TOML gives a single mistake, since nothing behind it can be understood. The
// data is not changed or kept.
func Parse(fileName string, data []byte) (*Site, error) {
	w := newWalker(fileName, &schema)
	raw, ok := w.read(data)
	if !ok {
		return nil, w.fail()
	}
	w.site.Settings = control.DefaultSettings()
	w.walk(w.root, "", "", raw, true, target{site: w.site, settings: &w.site.Settings})
	w.checks()
	w.order()
	if len(w.mistakes) > 0 {
		return nil, w.fail()
	}
	w.site.Advice = inOrder(w.advice)
	return w.site, nil
}

// newWalker makes a walker for a file whose names are those of a table.
func newWalker(fileName string, root *table) *walker {
	return &walker{file: fileName, root: root, site: &Site{File: fileName}, sound: map[string]bool{}, meant: map[string]bool{}}
}

// read reads the file's text as data without meaning.
func (w *walker) read(data []byte) (map[string]any, bool) {
	data, ok := w.text(data)
	if !ok {
		return nil, false
	}
	w.site.text = bytes.Clone(data)
	raw, ok := w.decode(data)
	if ok {
		w.positions = positionsOf(data)
	}
	return raw, ok
}

func (w *walker) fail() error {
	return &Mistakes{List: inOrder(w.mistakes)}
}
