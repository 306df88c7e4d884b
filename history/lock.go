package history

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"golang.org/x/sys/unix"
)

// lockName is an empty file beside the history. The file itself can't be locked
// so: whoever closes it once more drops the locks that SQLite holds in it.
const lockName = "history.lock"

var errShared = errors.New("another running program writes the history of this folder: give every site a folder of its own (folder under [history] in the site file), or end the other program")

// lock takes a folder's history for this program alone (flock(2)), and makes the
// folder when it is missing. It ends with the program, however that ends. A file
// system that knows no such locks goes without.
func lock(folder string) (held *os.File, err error) {
	if err := os.MkdirAll(folder, 0o750); err != nil {
		return nil, err
	}
	file, err := os.OpenFile(filepath.Join(folder, lockName), os.O_RDWR|os.O_CREATE, 0o640)
	if err != nil {
		return nil, fmt.Errorf("the file that keeps others out can't be opened: %w", err)
	}
	if err := unix.Flock(int(file.Fd()), unix.LOCK_EX|unix.LOCK_NB); err == unix.EWOULDBLOCK {
		return nil, errors.Join(errShared, file.Close())
	}
	return file, nil
}
