// Package wiretree writes a folder shaped like the kernel's of its 1-wire parts,
// /sys/bus/w1/devices, for benches and tests: one folder a part, with the file
// w1_slave in it. Source of the shape: the kernel's documentation, ABI/testing,
// sysfs-driver-w1_therm.
package wiretree

import (
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strings"

	"golang.org/x/sys/unix"
	"periph.io/x/conn/v3/onewire"
)

// Tree is such a folder.
type Tree struct{ Root string }

// Path is where the record of a probe lies.
func (t Tree) Path(identity string) string { return filepath.Join(t.Root, identity, "w1_slave") }

// Put makes a probe answer with the text from now on. The change happens at
// once: no reader ever sees half of it. Who waits at a probe that hung goes on,
// and reads nothing that time.
func (t Tree) Put(identity, text string) error {
	path := t.Path(identity)
	err := os.WriteFile(path+".new", []byte(text), 0o644)
	if errors.Is(err, fs.ErrNotExist) { // it is new
		err = errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path+".new", []byte(text), 0o644))
	}
	if err != nil {
		return err
	}
	before := t.hanging(path)
	return errors.Join(os.Rename(path+".new", path), before.close())
}

// PutC makes a 12-bit probe answer with a temperature in °C, rounded to its steps
// of 1/16 °C. What its register cannot hold is as good as no answer.
func (t Tree) PutC(identity string, tempC float64) error {
	register := math.Round(tempC * 16)
	if !(register >= math.MinInt16 && register <= math.MaxInt16) {
		return t.Put(identity, "")
	}
	return t.Put(identity, RecordText(RecordBytes(int16(register), 0x7F, 0x10)))
}

// Remove lets a probe vanish with its folder.
func (t Tree) Remove(identity string) error {
	before := t.hanging(t.Path(identity))
	return errors.Join(os.RemoveAll(filepath.Join(t.Root, identity)), before.close())
}

// Hang holds whoever reads the probe from now on, as a bus does that has locked
// up, until it is put anew or removed.
func (t Tree) Hang(identity string) error {
	path := t.Path(identity)
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return unix.Mkfifo(path, 0o600)
}

// pipe is a record file that holds its readers; nil when there is none.
type pipe struct{ *os.File }

// hanging opens the other end of a probe that hangs: nil when it does not, or
// when nobody reads it.
func (t Tree) hanging(path string) *pipe {
	info, err := os.Stat(path)
	if err != nil || info.Mode()&fs.ModeNamedPipe == 0 {
		return nil
	}
	f, err := os.OpenFile(path, os.O_WRONLY|unix.O_NONBLOCK, 0)
	if err != nil {
		return nil // nobody waits at it
	}
	return &pipe{f}
}

// close lets the readers go.
func (p *pipe) close() error {
	if p == nil {
		return nil
	}
	return p.Close()
}

// RecordBytes is the memory of a DS18B20: temperature register, factory alarm
// limits, configuration byte, the reserved byte 6, and the checksum.
func RecordBytes(register int16, configuration, reserved byte) [9]byte {
	b := [9]byte{byte(register), byte(uint16(register) >> 8), 0x4B, 0x46, configuration, 0xFF, reserved, 0x10}
	b[8] = onewire.CalcCRC(b[:8])
	return b
}

// RecordText is what the kernel prints for nine bytes, its verdict on the
// checksum included.
func RecordText(b [9]byte) string {
	verdict := "NO"
	crc := onewire.CalcCRC(b[:8])
	if crc == b[8] {
		verdict = "YES"
	}
	var hex strings.Builder
	for _, v := range b {
		fmt.Fprintf(&hex, "%02x ", v)
	}
	register := int(int16(uint16(b[0]) | uint16(b[1])<<8))
	return fmt.Sprintf("%s: crc=%02x %s\n%st=%d\n", hex.String(), crc, verdict, hex.String(), register*1000/16)
}
