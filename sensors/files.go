package sensors

import (
	"errors"
	"io"
	"os"
)

// files is how the 1-wire tree is touched. Every call can block for as long as
// the kernel pleases.
type files interface {
	// read gives the whole content, cut off one byte beyond recordLimit. The
	// result is valid until the next read.
	read(path string) ([]byte, error)
	// write writes to a file that exists; it never makes one.
	write(path, text string) error
	// list gives the names in a folder.
	list(path string) ([]string, error)
}

// diskFiles opens by path each time: a folder that vanished and came back is
// another one behind the same name.
type diskFiles struct {
	buffer [recordLimit + 1]byte
}

func (d *diskFiles) read(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer file.Close() // nothing was written, so nothing can be lost
	n, err := io.ReadFull(file, d.buffer[:])
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return nil, err
	}
	return d.buffer[:n], nil
}

func (d *diskFiles) write(path, text string) error {
	file, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = file.WriteString(text)
	return errors.Join(err, file.Close())
}

func (d *diskFiles) list(path string) ([]string, error) {
	folder, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer folder.Close() // nothing was written, so nothing can be lost
	return folder.Readdirnames(-1)
}
