package paper

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// Files are files to be written after a long run. They are opened before it,
// so that a folder that is not there is found early, and take their names only
// when they are whole.
type Files map[string]*os.File

// OpenFiles opens a hidden file beside each name; empty names are left out.
func OpenFiles(names ...string) (Files, error) {
	o := Files{}
	for _, name := range names {
		if name == "" {
			continue
		}
		for other := range o {
			if filepath.Clean(other) == filepath.Clean(name) {
				o.Discard()
				return nil, fmt.Errorf("two files can't both be %s; give two names", name)
			}
		}
		// Taking the name of a folder fails, but only after the run; taking that of
		// a device, or of a link to one, would put a file in its place.
		if there, err := os.Lstat(name); err == nil && !there.Mode().IsRegular() {
			o.Discard()
			return nil, fmt.Errorf("can't write %s: what has that name is no ordinary file; give the name of a new file or of one to replace", name)
		}
		f, err := os.CreateTemp(filepath.Dir(name), "."+filepath.Base(name)+".*")
		if err != nil {
			o.Discard()
			return nil, fmt.Errorf("can't write %s: %w; give a name in a folder that exists and that you may write to", name, bare(err))
		}
		o[name] = f
	}
	return o, nil
}

// Write fills a file and gives it its name.
func (o Files) Write(name string, fill func(io.Writer) error) error {
	f := o[name]
	buffered := bufio.NewWriter(f)
	err := cmp.Or(fill(buffered), buffered.Flush(), f.Chmod(0o644), f.Close())
	if err == nil {
		err = os.Rename(f.Name(), name)
	}
	if err != nil {
		return fmt.Errorf("can't write %s: %w; make room for it, or give another name", name, bare(err))
	}
	delete(o, name)
	return nil
}

// Discard throws away what was not written.
func (o Files) Discard() {
	for _, f := range o {
		f.Close()
		os.Remove(f.Name())
	}
}

// bare takes the name of the hidden file out of an error, which nobody has
// asked for.
func bare(err error) error {
	if path, ok := errors.AsType[*fs.PathError](err); ok {
		return path.Err
	}
	if link, ok := errors.AsType[*os.LinkError](err); ok {
		return link.Err
	}
	return err
}
