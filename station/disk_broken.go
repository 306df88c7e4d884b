package station

import (
	"errors"
	"io"

	"golang.org/x/sys/unix"
)

// ErrTornWrite, as a fault of the storage, lets the first half of what is written
// arrive, and tells nobody.
var ErrTornWrite = errors.New("of what is written only a part arrives")

// brokenDisk is a disk with a fault that comes and goes. A full or read-only one can
// be read; one that fails by anything else can't.
type brokenDisk struct {
	disk
	fault func() error
}

func (d brokenDisk) changing() error {
	if err := d.fault(); err != nil && !errors.Is(err, ErrTornWrite) {
		return err
	}
	return nil
}

func (d brokenDisk) reading() error {
	if err := d.changing(); err != nil && !errors.Is(err, unix.ENOSPC) && !errors.Is(err, unix.EROFS) {
		return err
	}
	return nil
}

func (d brokenDisk) lock(path string) (io.Closer, error) {
	if err := d.reading(); err != nil {
		return nil, err
	}
	return d.disk.lock(path)
}

func (d brokenDisk) read(path string, limit int64) ([]byte, error) {
	if err := d.reading(); err != nil {
		return nil, err
	}
	return d.disk.read(path, limit)
}

func (d brokenDisk) create(path string) (diskFile, error) {
	if err := d.changing(); err != nil {
		return nil, err
	}
	f, err := d.disk.create(path)
	if err != nil {
		return nil, err
	}
	return brokenFile{f, d}, nil
}

func (d brokenDisk) rename(from, to string) error {
	if err := d.changing(); err != nil {
		return err
	}
	return d.disk.rename(from, to)
}

func (d brokenDisk) syncFolder(path string) error {
	if err := d.changing(); err != nil {
		return err
	}
	return d.disk.syncFolder(path)
}

type brokenFile struct {
	diskFile
	on brokenDisk
}

func (f brokenFile) Write(p []byte) (int, error) {
	switch err := f.on.fault(); {
	case errors.Is(err, ErrTornWrite):
		if n, err := f.diskFile.Write(p[:len(p)/2]); err != nil {
			return n, err
		}
		return len(p), nil
	case err != nil:
		return 0, err
	}
	return f.diskFile.Write(p)
}

func (f brokenFile) Sync() error { return errors.Join(f.on.changing(), f.diskFile.Sync()) }
