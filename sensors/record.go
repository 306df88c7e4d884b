package sensors

import (
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"math"
	"strconv"

	"periph.io/x/conn/v3/onewire"
)

const (
	recordBytes = 9
	// recordLimit bounds what is read of a file; a true record has 75 bytes.
	recordLimit = 4096
)

// record is the nine bytes of a probe's memory as the kernel's file w1_slave
// shows them, together with what the kernel makes of them:
//
//	72 01 4b 46 7f ff 0e 10 57 : crc=57 YES
//	72 01 4b 46 7f ff 0e 10 57 t=23125
//
// When the checksum failed, the second line holds the last good record.
type record struct {
	bytes        [recordBytes]byte
	kernelCRC    byte
	kernelAgrees bool // YES
	second       [recordBytes]byte
	kernelMilliC int // t=, in thousandths of °C
}

// hex is the record as text for the installer.
func (r *record) hex() string {
	var text []byte
	for i, b := range r.bytes {
		if i > 0 {
			text = append(text, ' ')
		}
		text = hex.AppendEncode(text, []byte{b})
	}
	return string(text)
}

func (r *record) register() int16 { return int16(binary.LittleEndian.Uint16(r.bytes[:2])) }

// looksPowerOn tells a record that may be the power-on one: a probe that truly
// is at 85 °C can give the same bytes.
func (r *record) looksPowerOn(tempC float64) bool {
	return tempC == registerC(powerOnRegister) && r.bytes[6] == powerOnReserved
}

// parseRecord reads the text strictly: exactly what the kernel prints.
func parseRecord(text []byte) (*record, *Fault) {
	if len(text) == 0 {
		return nil, faultf(Silent, "the kernel's tries to read it all failed; check plug, cable and pull-up resistor")
	}
	if len(text) > recordLimit {
		return nil, faultf(Malformed, "the file holds more than %d bytes", recordLimit)
	}
	lines := bytes.SplitN(text, []byte("\n"), 4)
	if len(lines) != 3 || len(lines[2]) != 0 {
		return nil, faultf(Malformed, "not two whole lines but %.80q", text)
	}
	r := &record{}
	verdict, ok := cutBytes(lines[0], &r.bytes)
	if !ok || !r.parseVerdict(verdict) {
		return nil, faultf(Malformed, "the first line is not nine bytes with their checksum but %.80q", lines[0])
	}
	temperature, ok := cutBytes(lines[1], &r.second)
	if !ok || !r.parseMilliC(temperature) {
		return nil, faultf(Malformed, "the second line is not nine bytes with the temperature but %.80q", lines[1])
	}
	return r, nil
}

// cutBytes takes nine times "xx " off the front of a line.
func cutBytes(line []byte, into *[recordBytes]byte) (rest []byte, ok bool) {
	for i := range into {
		if len(line) < 3 || line[2] != ' ' {
			return nil, false
		}
		if into[i], ok = hexByte(line); !ok {
			return nil, false
		}
		line = line[3:]
	}
	return line, true
}

// parseVerdict reads ": crc=57 YES".
func (r *record) parseVerdict(text []byte) (ok bool) {
	text, ok = bytes.CutPrefix(text, []byte(": crc="))
	if !ok || len(text) < 2 {
		return false
	}
	if r.kernelCRC, ok = hexByte(text); !ok {
		return false
	}
	switch string(text[2:]) {
	case " YES":
		r.kernelAgrees = true
		return true
	case " NO":
		return true
	}
	return false
}

// parseMilliC reads "t=23125".
func (r *record) parseMilliC(text []byte) bool {
	digits, ok := bytes.CutPrefix(text, []byte("t="))
	if !ok {
		return false
	}
	value, err := strconv.Atoi(string(digits))
	if err != nil || strconv.Itoa(value) != string(digits) {
		return false
	}
	r.kernelMilliC = value
	return true
}

func hexByte(text []byte) (byte, bool) {
	high, highOK := hexDigit(text[0])
	low, lowOK := hexDigit(text[1])
	return high<<4 | low, highOK && lowOK
}

// temperatureC makes every test that needs this one record only, and gives the
// temperature in °C. A record that passes can still be the power-on one.
func (r *record) temperatureC() (float64, *Fault) {
	if fault := r.checkTransfer(); fault != nil {
		return math.NaN(), fault
	}
	steps, known := resolutionOf(r.bytes[4])
	if !known {
		return math.NaN(), faultf(Unsupported, "its configuration byte %02x is none of a DS18B20", r.bytes[4])
	}
	register := r.register()
	defined := steps.defined(register)
	if !r.kernelMeans(register) && !r.kernelMeans(defined) {
		return math.NaN(), faultf(Malformed, "the register says %g °C, the kernel t=%d", registerC(register), r.kernelMilliC)
	}
	if register == unpoweredRegister {
		return math.NaN(), faultf(Unpowered, "it gave 127.94 °C; check the supply wire, or connect one where the probe draws its supply from the data wire")
	}
	tempC := registerC(defined)
	if tempC < lowestC || tempC > highestC {
		return math.NaN(), faultf(OutOfRange, "it gave %g °C, its range is %g to %g °C", tempC, lowestC, highestC)
	}
	return tempC, nil
}

// checkTransfer finds records that were never sent or damaged on their way.
// Zeros and ones come first: they have a cause of their own, and the checksum
// of zeros is right.
func (r *record) checkTransfer() *Fault {
	switch {
	case r.bytes == [recordBytes]byte{}:
		return faultf(HeldLow, "look for a short between data and ground, or a probe without supply")
	case bytes.Count(r.bytes[:], []byte{0xFF}) == recordBytes:
		return faultf(NotDriven, "the probe has most likely been unplugged")
	}
	crc := onewire.CalcCRC(r.bytes[:recordBytes-1])
	switch {
	case crc != r.bytes[recordBytes-1] || !r.kernelAgrees:
		return faultf(BadChecksum, "computed %02x, received %02x, kernel's verdict %s; look for loose contacts, long or star-shaped cables, noise", crc, r.bytes[recordBytes-1], yesNo(r.kernelAgrees))
	case r.kernelCRC != crc:
		return faultf(Malformed, "the kernel computed the checksum %02x, this program %02x", r.kernelCRC, crc)
	case r.second != r.bytes:
		return faultf(Malformed, "the two lines hold different bytes")
	}
	return nil
}

// kernelMeans compares the kernel's figure with a register. The kernel drops
// what is below a thousandth, so the two differ by less than one of them.
func (r *record) kernelMeans(register int16) bool {
	return math.Abs(float64(r.kernelMilliC)-registerC(register)*1000) < 1
}

func yesNo(yes bool) string {
	if yes {
		return "YES"
	}
	return "NO"
}
