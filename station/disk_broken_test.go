package station

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/sys/unix"
)

// TestABrokenDisk: each fault is felt by the calls that it is about, and none is left
// when it has gone.
func TestABrokenDisk(t *testing.T) {
	folder := t.TempDir()
	path, other := filepath.Join(folder, "state"), filepath.Join(folder, "other")
	var fault error
	d := brokenDisk{realDisk{}, func() error { return fault }}
	save := func() error {
		f, err := d.create(path)
		if err != nil {
			return err
		}
		n, err := f.Write([]byte("12345678"))
		if err == nil && n != 8 {
			t.Errorf("%d bytes of 8 are told", n)
		}
		return errors.Join(err, f.Sync(), f.Close())
	}
	for _, c := range []struct {
		fault        error
		saves, reads bool
		left         int
	}{
		{nil, true, true, 8},
		{fmt.Errorf("no room: %w", unix.ENOSPC), false, true, 8},
		{unix.EROFS, false, true, 8},
		{unix.EIO, false, false, 8},
		{ErrTornWrite, true, true, 4},
	} {
		fault = c.fault
		if err := save(); (err == nil) != c.saves || !c.saves && !errors.Is(err, fault) {
			t.Errorf("%v: a save ends with %v", c.fault, err)
		}
		_, err := d.read(path, 100)
		lock, lockErr := d.lock(folder)
		if (err == nil) != c.reads || (lockErr == nil) != c.reads {
			t.Errorf("%v: a read ends with %v, a lock with %v", c.fault, err, lockErr)
		}
		if lockErr == nil {
			_ = lock.Close()
		}
		if text, err := os.ReadFile(path); err != nil || len(text) != c.left {
			t.Errorf("%v: %q is left, %v", c.fault, text, err)
		}
		changed := errors.Join(d.rename(path, other), d.syncFolder(folder))
		if (changed == nil) != c.saves {
			t.Errorf("%v: a change of names ends with %v", c.fault, changed)
		}
		if changed == nil {
			if err := d.rename(other, path); err != nil {
				t.Error(err)
			}
		}
	}
	// A fault between creating and writing.
	fault = nil
	f, err := d.create(path)
	if err != nil {
		t.Fatal(err)
	}
	fault = unix.ENOSPC
	if n, err := f.Write([]byte("x")); n != 0 || !errors.Is(err, unix.ENOSPC) {
		t.Errorf("%d, %v", n, err)
	}
	if err := f.Sync(); !errors.Is(err, unix.ENOSPC) {
		t.Error(err)
	}
	_ = f.Close()
}
