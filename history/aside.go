package history

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// mostAside is how many damaged files are kept: a dying card damages one after
// the other, and must not be filled with them.
const mostAside = 3

// setAside gives a damaged file another name, "history.db.set-aside-2026-11-26",
// with the log that belongs to it, and gives that name back.
func setAside(path string, day time.Time) (string, error) {
	aside := path + ".set-aside-" + day.UTC().Format(time.DateOnly)
	for n := 2; exists(aside); n++ {
		aside = fmt.Sprintf("%s.set-aside-%s-%d", path, day.UTC().Format(time.DateOnly), n)
	}
	// The log first: were it left to a new file, it would not fit that one.
	if err := os.Rename(path+"-wal", aside+"-wal"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if err := os.Remove(path + "-shm"); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	if err := os.Rename(path, aside); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return "", err
	}
	return aside, dropOldAside(path)
}

// setAsides lists the files that were set aside, oldest first.
func setAsides(path string) ([]string, error) {
	all, err := filepath.Glob(globQuoted(path) + ".set-aside-*")
	if err != nil {
		return nil, err
	}
	all = slices.DeleteFunc(all, func(name string) bool { return strings.HasSuffix(name, "-wal") || strings.HasSuffix(name, "-shm") })
	slices.SortFunc(all, func(a, b string) int { return modified(a).Compare(modified(b)) })
	return all, nil
}

func dropOldAside(path string) error {
	all, err := setAsides(path)
	if err != nil {
		return err
	}
	for len(all) > mostAside {
		if err := os.Remove(all[0]); err != nil {
			return err
		}
		if err := os.Remove(all[0] + "-wal"); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
		all = all[1:]
	}
	return nil
}

func modified(path string) time.Time {
	info, err := os.Stat(path)
	if err != nil {
		return time.Time{}
	}
	return info.ModTime()
}

func exists(path string) bool {
	_, err := os.Lstat(path)
	return !errors.Is(err, fs.ErrNotExist)
}

// globQuoted keeps signs in a path from being taken for a pattern.
func globQuoted(path string) string {
	var out []rune
	for _, r := range path {
		if r == '*' || r == '?' || r == '[' || r == '\\' {
			out = append(out, '\\')
		}
		out = append(out, r)
	}
	return string(out)
}
