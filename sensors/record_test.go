package sensors

import (
	"errors"
	"math"
	"strings"
	"testing"

	"periph.io/x/conn/v3/onewire"
	"pgregory.net/rapid"
	"sunstoker/sensors/wiretree"
)

const goodText = "72 01 4b 46 7f ff 0e 10 57 : crc=57 YES\n72 01 4b 46 7f ff 0e 10 57 t=23125\n"

// valueOf does what a probe does with the content of its file.
func valueOf(text string) (float64, *Fault) {
	rec, fault := parseRecord([]byte(text))
	if fault != nil {
		return math.NaN(), fault
	}
	return rec.temperatureC()
}

func recordOf(register int16, configuration, reserved byte) string {
	return wiretree.RecordText(wiretree.RecordBytes(register, configuration, reserved))
}

func TestRecordWithValue(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want float64
	}{
		"usual":                            {goodText, 23.125},
		"below zero, kernel cuts off":      {recordOf(-1, 0x7F, 0x10), -0.0625},
		"true zero is a value":             {recordOf(0, 0x7F, 0x10), 0},
		"lowest":                           {recordOf(-55*16, 0x7F, 0x10), -55},
		"highest":                          {recordOf(125*16, 0x7F, 0x10), 125},
		"9 bits, low bits are noise":       {recordOf(23*16+7, 0x1F, 0x10), 23},
		"10 bits":                          {recordOf(23*16+7, 0x3F, 0x10), 23.25},
		"11 bits":                          {recordOf(23*16+7, 0x5F, 0x10), 23.375},
		"9 bits, kernel masked them too":   {strings.Replace(recordOf(23*16+7, 0x1F, 0x10), "t=23437", "t=23000", 1), 23},
		"kernel rounds down below zero":    {strings.Replace(recordOf(-1, 0x7F, 0x10), "t=-62", "t=-63", 1), -0.0625},
		"power-on bytes are left to judge": {recordOf(0x0550, 0x7F, 0x0C), 85},
	} {
		got, fault := valueOf(c.text)
		if fault != nil || got != c.want {
			t.Errorf("%s: %g °C, %v, want %g", name, got, fault, c.want)
		}
	}
}

func TestRecordRefused(t *testing.T) {
	nine := func(b string) string { return strings.TrimSpace(strings.Repeat(b+" ", 9)) }
	damaged := wiretree.RecordBytes(370, 0x7F, 0x10)
	damaged[1] ^= 0x04
	for name, c := range map[string]struct {
		text string
		want FaultKind
	}{
		"empty":                 {"", Silent},
		"zeros, checksum right": {nine("00") + " : crc=00 YES\n" + nine("00") + " t=0\n", HeldLow},
		"ones":                  {nine("ff") + " : crc=c9 NO\n" + nine("ff") + " t=-62\n", NotDriven},
		"ones, checksum not looked at": {nine("ff") + " : crc=ff YES\n" + nine("ff") + " t=-62\n",
			NotDriven},
		"damaged, kernel says so":  {wiretree.RecordText(damaged), BadChecksum},
		"damaged, kernel says YES": {strings.Replace(wiretree.RecordText(damaged), "NO", "YES", 1), BadChecksum},
		"sound, kernel says NO":    {strings.Replace(goodText, "YES", "NO", 1), BadChecksum},
		"second line of old record on NO": {"72 05 4b 46 7f ff 0e 10 57 : crc=2e NO\n" +
			"72 01 4b 46 7f ff 0e 10 57 t=87125\n", BadChecksum},
		"kernel's checksum differs": {strings.Replace(goodText, "crc=57", "crc=58", 1), Malformed},
		"lines differ":              {strings.Replace(goodText, "57 t=", "56 t=", 1), Malformed},
		"t= differs":                {strings.Replace(goodText, "t=23125", "t=23126", 1), Malformed},
		"t= torn":                   {strings.Replace(goodText, "t=23125", "t=2312", 1), Malformed},
		"t= with plus":              {strings.Replace(goodText, "t=23125", "t=+23125", 1), Malformed},
		"t= with leading zero":      {strings.Replace(goodText, "t=23125", "t=023125", 1), Malformed},
		"t= without figure":         {strings.Replace(goodText, "t=23125", "t=", 1), Malformed},
		"t= beyond all numbers":     {strings.Replace(goodText, "t=23125", "t=99999999999999999999", 1), Malformed},
		"no last line end":          {strings.TrimSuffix(goodText, "\n"), Malformed},
		"third line":                {goodText + "\n", Malformed},
		"first line alone":          {goodText[:strings.Index(goodText, "\n")+1], Malformed},
		"cut in the bytes":          {goodText[:10], Malformed},
		"upper case":                {strings.ToUpper(goodText), Malformed},
		"no hexadecimal":            {strings.Replace(goodText, "72", "7g", 1), Malformed},
		"carriage returns":          {strings.ReplaceAll(goodText, "\n", "\r\n"), Malformed},
		"other verdict":             {strings.Replace(goodText, "YES", "YES!", 1), Malformed},
		"eight bytes":               {strings.ReplaceAll(goodText, "72 01", "01"), Malformed},
		"other text":                {"temperature is fine\n", Malformed},
		"too much":                  {goodText + strings.Repeat("x", recordLimit), Malformed},
		"127.94":                    {recordOf(0x07FF, 0x7F, 0x0C), Unpowered},
		"above the part":            {recordOf(125*16+1, 0x7F, 0x10), OutOfRange},
		"below the part":            {recordOf(-55*16-1, 0x7F, 0x10), OutOfRange},
		"-109.9, seen after unplug": {recordOf(-1758, 0x7F, 0x10), OutOfRange},
		"configuration of no DS18B20": {recordOf(370, 0xFF, 0x10),
			Unsupported},
	} {
		got, fault := valueOf(c.text)
		if fault == nil || !errors.Is(fault, c.want) || !math.IsNaN(got) {
			t.Errorf("%s: %g °C, %v, want fault %q", name, got, fault, c.want)
		}
		if fault != nil && len(fault.Error()) > 400 {
			t.Errorf("%s: %d bytes of words", name, len(fault.Error()))
		}
	}
}

// One or two damaged bits anywhere in the nine bytes never give a value, even
// if the kernel had said YES: the polynomial finds every such damage in so
// short a record.
func TestDamagedBitsNeverPass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		register := int16(rapid.IntRange(-55*16, 125*16).Draw(t, "register"))
		b := wiretree.RecordBytes(register, 0x7F, 0x10)
		first := rapid.IntRange(0, 71).Draw(t, "first bit")
		second := rapid.IntRange(0, 71).Draw(t, "second bit")
		b[first/8] ^= 1 << (first % 8)
		if second != first {
			b[second/8] ^= 1 << (second % 8)
		}
		for _, text := range []string{
			wiretree.RecordText(b),
			strings.Replace(wiretree.RecordText(b), "NO", "YES", 1),
		} {
			if got, fault := valueOf(text); fault == nil {
				t.Fatalf("%q gave %g °C", text, got)
			}
		}
	})
}

// If anything yields a value, then bytes, checksum and t= agree with it.
func FuzzRecord(f *testing.F) {
	f.Add([]byte(goodText))
	f.Add([]byte(recordOf(-1, 0x1F, 0x10)))
	f.Add([]byte(recordOf(0x0550, 0x7F, 0x0C)))
	f.Add([]byte(recordOf(0, 0x7F, 0x10)))
	f.Add([]byte(strings.Replace(goodText, "YES", "NO", 1)))
	f.Add([]byte(goodText[:50]))
	f.Add([]byte{})
	f.Fuzz(func(t *testing.T, text []byte) {
		rec, fault := parseRecord(text)
		if fault != nil {
			if rec != nil {
				t.Fatal("both a record and a fault")
			}
			return
		}
		tempC, fault := rec.temperatureC()
		if fault != nil {
			if !math.IsNaN(tempC) {
				t.Fatalf("a fault and %g °C", tempC)
			}
			return
		}
		b := rec.bytes
		if onewire.CalcCRC(b[:]) != 0 || b == [9]byte{} || tempC < -55 || tempC > 125 {
			t.Fatalf("% x gave %g °C", b, tempC)
		}
		if below := float64(rec.kernelMilliC)/1000 - tempC; below <= -0.001 || below >= 0.5 {
			t.Fatalf("t=%d against %g °C", rec.kernelMilliC, tempC)
		}
		if !strings.HasPrefix(string(text), rec.hex()+" : crc=") {
			t.Fatalf("record %s of text %q", rec.hex(), text)
		}
	})
}
