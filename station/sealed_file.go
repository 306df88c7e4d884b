package station

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"path/filepath"
)

// A sealed file is one line of text, "MAGIC VERSION CHECKSUM", and a body, mostly JSON;
// CHECKSUM is the SHA-256 of the body in hexadecimal digits. A journaled file system
// that lost its power gives back a sound file system, not sound files: lengths of
// zero and old content are normal. Hence the checksum, the copy of before, and the
// order of the calls in putInPlace.

func seal(magic string, version int, body []byte) []byte {
	return append(fmt.Appendf(nil, "%s %d %x\n", magic, version, sha256.Sum256(body)), body...)
}

// unseal gives the body of a sealed file that is whole; what it is called stands in
// errors, "a state file".
func unseal(magic string, version int, called string, data []byte) (body []byte, err error) {
	head, body, ok := bytes.Cut(data, []byte("\n"))
	rest, isOurs := bytes.CutPrefix(head, []byte(magic+" "))
	is, sum, hasSum := bytes.Cut(rest, []byte(" "))
	switch want := sha256.Sum256(body); {
	case len(data) == 0:
		return nil, errors.New("it is empty")
	case !ok || !isOurs || !hasSum:
		return nil, fmt.Errorf("it does not begin as %s does", called)
	case string(is) != fmt.Sprint(version):
		return nil, fmt.Errorf("it is of version %.20q, this program reads version %d", is, version)
	case string(sum) != hex.EncodeToString(want[:]):
		return nil, errors.New("its checksum is wrong: it was not written to its end, or was changed since")
	}
	return body, nil
}

// putInPlace writes a file of a folder anew. After a power cut at any instant either
// this content or the one of before is whole: the new file is on the disk before the
// names change, and the copy of before is only replaced by a file that was whole,
// as the caller says. The caller syncs the folder, which makes the names last.
func putInPlace(d disk, folder, name string, data []byte, whole bool) error {
	newest, before, fresh := placesOf(folder, name)
	if err := writeSynced(d, fresh, data); err != nil {
		return err
	}
	if whole {
		if err := d.rename(newest, before); err != nil && !isMissing(err) {
			return err
		}
	}
	return d.rename(fresh, newest)
}

func writeSynced(d disk, path string, data []byte) error {
	f, err := d.create(path)
	if err != nil {
		return err
	}
	if _, err := f.Write(data); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Sync(); err != nil {
		return errors.Join(err, f.Close())
	}
	return f.Close()
}

func placesOf(folder, name string) (newest, before, fresh string) {
	path := filepath.Join(folder, name)
	return path, path + ".before", path + ".new"
}
