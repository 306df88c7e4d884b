package station

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"

	"golang.org/x/sys/unix"
)

// disk is how the station touches files, call by call, so that a test can let
// each of them fail, tear or be the last before the power goes. Nothing else in
// the station reads or writes a file, but for the kernel's own (health.go).
type disk interface {
	// lock makes the state folder when it is missing and takes it for this
	// program alone, until it is closed.
	lock(path string) (io.Closer, error)
	// read gives a whole file of up to limit bytes.
	read(path string, limit int64) ([]byte, error)
	create(path string) (diskFile, error) // empties what was there
	rename(from, to string) error
	syncFolder(path string) error
}

type diskFile interface {
	Write([]byte) (int, error)
	Sync() error
	Close() error
}

// realDisk is the file system.
type realDisk struct{}

func (realDisk) read(path string, limit int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close() // nothing was written, so nothing can be lost
	data, err := io.ReadAll(io.LimitReader(f, limit+1))
	if err == nil && int64(len(data)) > limit {
		return nil, fmt.Errorf("%s is longer than %d bytes", path, limit)
	}
	return data, err
}

func (realDisk) create(path string) (diskFile, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_TRUNC, 0o640)
	if err != nil {
		return nil, err // not f: a nil *os.File is no nil diskFile
	}
	return f, nil
}

func (realDisk) rename(from, to string) error { return os.Rename(from, to) }

func (realDisk) syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	return errors.Join(folder.Sync(), folder.Close())
}

// lock implements [disk]; it keeps a second daemon away from the same site. The
// folder itself is locked (flock(2)), so that no file is needed and a card that
// went read-only does not keep the daemon from running; the kernel gives the
// lock back when the program ends, however it ends.
func (realDisk) lock(path string) (io.Closer, error) {
	if err := os.MkdirAll(path, 0o750); err != nil {
		return nil, fmt.Errorf("the state folder %s can't be made: %w; make it and let the service's user write to it, or name another as state_folder in the site file", path, err)
	}
	folder, err := os.Open(path)
	if err != nil {
		return nil, fmt.Errorf("the state folder %s can't be opened: %w; let the service's user read and write it", path, err)
	}
	err = unix.Flock(int(folder.Fd()), unix.LOCK_EX|unix.LOCK_NB)
	if errors.Is(err, unix.EWOULDBLOCK) {
		return nil, errors.Join(fmt.Errorf("another sunstoker already runs with the state folder %s: stop it first; two daemons on one site would fight over pump and heater", path), folder.Close())
	}
	if err != nil {
		return nil, errors.Join(fmt.Errorf("the state folder %s can't be locked: %w; it must lie on a local disk", path, err), folder.Close())
	}
	return folder, nil
}

// noLock stands for a lock where storage has no place for one.
type noLock struct{}

func (noLock) Close() error { return nil }

// lockOrGoOn locks the state folder. A card that is full, read-only or broken
// is no reason to leave a plant alone: then there is no lock, and outputs are
// still held by one program each.
func lockOrGoOn(d disk, path string, log *slog.Logger) (io.Closer, error) {
	lock, err := d.lock(path)
	if err != nil && isStorageTrouble(err) {
		log.Error("the station runs without its state folder: nothing is remembered over a restart", "error", err)
		return noLock{}, nil
	}
	return lock, err
}

// isStorageTrouble tells a fault of the storage from a mistake in its use.
func isStorageTrouble(err error) bool {
	for _, trouble := range []error{unix.ENOSPC, unix.EROFS, unix.EDQUOT, unix.EIO} {
		if errors.Is(err, trouble) {
			return true
		}
	}
	return false
}

func isMissing(err error) bool { return errors.Is(err, fs.ErrNotExist) }

func stateFiles(folder string) (newest, before, fresh string) { return placesOf(folder, stateName) }
