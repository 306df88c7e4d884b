package sensorstest

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"periph.io/x/conn/v3/onewire"
)

// Tree is a folder shaped like /sys/bus/w1/devices.
type Tree struct {
	Root string
	t    testing.TB
}

// NewTree makes an empty tree that is removed with the test.
func NewTree(t testing.TB) *Tree {
	t.Helper()
	return &Tree{Root: t.TempDir(), t: t}
}

// Path is where the record of a probe lies.
func (tr *Tree) Path(identity string) string {
	return filepath.Join(tr.Root, identity, "w1_slave")
}

// Put makes a probe answer with the text from now on. The change happens at
// once: no reader ever sees half of it.
func (tr *Tree) Put(identity, text string) {
	tr.t.Helper()
	path := tr.Path(identity)
	tr.must(os.MkdirAll(filepath.Dir(path), 0o755))
	tr.must(os.WriteFile(path+".new", []byte(text), 0o644))
	tr.must(os.Rename(path+".new", path))
}

// PutC makes a 12-bit probe answer with a temperature in °C, rounded to its
// steps of 1/16 °C.
func (tr *Tree) PutC(identity string, tempC float64) {
	tr.t.Helper()
	tr.Put(identity, RecordText(RecordBytes(int16(math.Round(tempC*16)), 0x7F, 0x10)))
}

// Remove lets a probe vanish with its folder.
func (tr *Tree) Remove(identity string) {
	tr.t.Helper()
	tr.must(os.RemoveAll(filepath.Join(tr.Root, identity)))
}

func (tr *Tree) must(err error) {
	tr.t.Helper()
	if err != nil {
		tr.t.Fatal(err)
	}
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
