package door

import (
	"errors"
	"os"
	"path/filepath"
)

// writePrivate writes a file that only this account can read. Whenever the power
// goes, either the whole of it is there or what was there before.
func writePrivate(path string, text []byte) (err error) {
	file, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+"-*") // readable by its owner alone
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(file.Name()))
		}
	}()
	_, err = file.Write(text)
	if err = errors.Join(err, file.Sync(), file.Close()); err != nil {
		return err
	}
	if err = os.Rename(file.Name(), path); err != nil {
		return err
	}
	folder, err := os.Open(filepath.Dir(path))
	if err != nil {
		return nil // it is written; the disk will have it soon
	}
	_ = folder.Sync() // some file systems know no such thing
	return folder.Close()
}
