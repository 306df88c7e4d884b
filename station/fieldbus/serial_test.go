package fieldbus

import (
	"encoding/binary"
	"fmt"
	"os"
	"slices"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// serialPair gives both ends of a line: a terminal that a program opens by its
// path, and who sits at the other end.
func serialPair(t *testing.T) (other *os.File, path string) {
	t.Helper()
	other, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("this machine has no terminals to stand for a serial line: %v", err)
	}
	t.Cleanup(func() { _ = other.Close() })
	err = unix.IoctlSetPointerInt(int(other.Fd()), unix.TIOCSPTLCK, 0)
	number, err2 := unix.IoctlGetInt(int(other.Fd()), unix.TIOCGPTN)
	if err != nil || err2 != nil {
		t.Fatal(err, err2)
	}
	return other, fmt.Sprintf("/dev/pts/%d", number)
}

// frameCheck is the check of a serial frame: polynomial A001h, start FFFFh, low
// byte first. Source: Modbus over serial line, V1.02, 6.2.2 (from memory).
func frameCheck(frame []byte) uint16 {
	check := uint16(0xFFFF)
	for _, b := range frame {
		check ^= uint16(b)
		for range 8 {
			carry := check & 1
			check >>= 1
			if carry == 1 {
				check ^= 0xA001
			}
		}
	}
	return check
}

// answer reads one request of eight bytes and sends what it is told to.
func answer(other *os.File, request []byte, reply []byte) error {
	got := make([]byte, len(request)+2)
	for n := 0; n < len(got); {
		k, err := other.Read(got[n:])
		if err != nil {
			return err
		}
		n += k
	}
	if want := binary.LittleEndian.AppendUint16(slices.Clone(request), frameCheck(request)); !slices.Equal(got, want) {
		return fmt.Errorf("the request is %x, want %x", got, want)
	}
	_, err := other.Write(reply)
	return err
}

func framed(b ...byte) []byte { return binary.LittleEndian.AppendUint16(b, frameCheck(b)) }

func TestRequestsOverASerialLine(t *testing.T) {
	// The standard's own example of the check (from memory).
	if check := frameCheck([]byte{0x02, 0x07}); check != 0x1241 {
		t.Fatalf("the check of 02 07 is %04x", check)
	}
	other, path := serialPair(t)
	line := New(Options{Device: path, Speed: 115200, Parity: EvenParity, Timeout: patient})
	t.Cleanup(func() { _ = line.Close() })
	if err := line.connect(); err != nil {
		t.Fatal(err)
	}
	told := make(chan error, 1)
	go func() { told <- answer(other, []byte{9, 4, 0, 7, 0, 2}, framed(9, 4, 4, 0x01, 0x02, 0xFF, 0xFE)) }()
	got, err := line.ReadRegisters(9, false, 7, 2)
	if heard := <-told; err != nil || heard != nil || !slices.Equal(got, []uint16{0x0102, 0xFFFE}) {
		t.Fatalf("%x, %v, %v", got, err, heard)
	}
	go func() { told <- answer(other, []byte{9, 5, 0, 1, 0xFF, 0}, framed(9, 5, 0, 1, 0xFF, 0)) }()
	err = line.WriteCoil(9, 1, true)
	if heard := <-told; err != nil || heard != nil {
		t.Fatal(err, heard)
	}
	damaged := framed(9, 4, 4, 0x01, 0x02, 0xFF, 0xFE)
	damaged[3] ^= 1
	go func() { told <- answer(other, []byte{9, 4, 0, 7, 0, 2}, damaged) }()
	_, err = line.ReadRegisters(9, false, 7, 2)
	says(t, err, "bad crc", "speed", path)
	if heard := <-told; heard != nil {
		t.Fatal(heard)
	}
	if err := line.Close(); err != nil {
		t.Fatal(err)
	}
	hasty := New(Options{Device: path, Speed: 115200, Parity: EvenParity, Timeout: 50 * time.Millisecond})
	t.Cleanup(func() { _ = hasty.Close() })
	go func() { told <- answer(other, []byte{8, 4, 0, 7, 0, 2}, nil) }()
	_, err = hasty.ReadRegisters(8, false, 7, 2)
	says(t, err, "no answer in time", "unit 8", "parity")
	<-told
}

func TestASerialLineThatIsNotThere(t *testing.T) {
	line := New(Options{Device: t.TempDir() + "/ttyUSB9", Speed: 9600})
	_, err := line.ReadRegisters(1, true, 0, 1)
	says(t, err, "ttyUSB9", "adapter")
}
