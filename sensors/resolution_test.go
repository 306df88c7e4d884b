package sensors

import (
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"testing"
	"time"

	"periph.io/x/conn/v3/onewire"
	"sunstoker/sensors/wiretree"
)

// rows reads a table of testdata; each row names its own source.
func rows(t *testing.T, path string) []map[string]string {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	lines, err := csv.NewReader(file).ReadAll()
	if err != nil || len(lines) < 2 {
		t.Fatalf("%s: %v, %d lines", path, err, len(lines))
	}
	var table []map[string]string
	for _, line := range lines[1:] {
		row := map[string]string{}
		for i, column := range lines[0] {
			row[column] = line[i]
		}
		table = append(table, row)
	}
	return table
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	value, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return value
}

func hexBytes(t *testing.T, text string) []byte {
	t.Helper()
	b, err := hex.DecodeString(text)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// Source: DS18B20 datasheet, table 1.
func TestTemperatureRegisterTable(t *testing.T) {
	for _, row := range rows(t, "testdata/ds18b20_temperature_register.csv") {
		lsb, msb := hexBytes(t, row["lsb_byte_hex"])[0], hexBytes(t, row["msb_byte_hex"])[0]
		register := int16(uint16(msb)<<8 | uint16(lsb))
		want := number(t, row["temperature_degC"])
		if got := registerC(register); got != want {
			t.Errorf("register %s: %g °C, want %g", row["register_hex"], got, want)
		}
		rec, fault := parseRecord([]byte(wiretree.RecordText(wiretree.RecordBytes(register, 0x7F, 0x10))))
		if fault != nil {
			t.Fatal(fault)
		}
		if got, fault := rec.temperatureC(); fault != nil || got != want {
			t.Errorf("record of %s: %g °C, %v, want %g", row["register_hex"], got, fault, want)
		}
	}
}

// Source: DS18B20 datasheet, thermometer resolution configuration.
func TestResolutionTable(t *testing.T) {
	table := rows(t, "testdata/ds18b20_conversion_time.csv")
	if len(table) != len(resolutions) {
		t.Fatalf("%d rows, want %d", len(table), len(resolutions))
	}
	for _, row := range table {
		got, known := resolutionOf(hexBytes(t, row["config_byte_hex"])[0])
		if !known {
			t.Errorf("configuration byte %s is not known", row["config_byte_hex"])
			continue
		}
		longest := time.Duration(number(t, row["max_conversion_ms"]) * float64(time.Millisecond))
		if float64(got.bits) != number(t, row["resolution_bits"]) || got.conversion != longest || got.stepC() != number(t, row["step_degC"]) {
			t.Errorf("%+v with a step of %g °C, want %v", got, got.stepC(), row)
		}
		if got.conversion > longestConversion {
			t.Errorf("%v is longer than the longest conversion %v", got.conversion, longestConversion)
		}
	}
}

// Source: worked example of Maxim application note 27, see the file.
func TestChecksumExample(t *testing.T) {
	text, err := os.ReadFile("testdata/onewire_crc8.json")
	if err != nil {
		t.Fatal(err)
	}
	var table struct {
		Cases []struct {
			Bytes []string `json:"bytes_in_bus_order_hex"`
			CRC   string   `json:"crc_hex"`
		}
	}
	if err := json.Unmarshal(text, &table); err != nil || len(table.Cases) == 0 {
		t.Fatalf("%v, %d cases", err, len(table.Cases))
	}
	for _, c := range table.Cases {
		var input []byte
		for _, b := range c.Bytes {
			input = append(input, hexBytes(t, b)...)
		}
		if got, want := onewire.CalcCRC(input), hexBytes(t, c.CRC)[0]; got != want {
			t.Errorf("checksum of %v: %02x, want %02x", c.Bytes, got, want)
		}
	}
}

// Every register at every resolution: a value inside the part's range comes
// back to within the resolution's step, everything else is refused.
func TestEveryRegister(t *testing.T) {
	for _, steps := range resolutions {
		for n := math.MinInt16; n <= math.MaxInt16; n++ {
			register := int16(n)
			b := wiretree.RecordBytes(register, steps.configuration, 0x10)
			rec := &record{bytes: b, second: b, kernelCRC: b[8], kernelAgrees: true, kernelMilliC: n * 1000 / 16}
			got, fault := rec.temperatureC()
			want := math.Floor(float64(n)/16/steps.stepC()) * steps.stepC()
			switch {
			case register == 0x07FF:
				if fault == nil || fault.Kind != Unpowered {
					t.Fatalf("register %04x: %v, want Unpowered", uint16(register), fault)
				}
			case want < -55 || want > 125:
				if fault == nil || fault.Kind != OutOfRange {
					t.Fatalf("register %04x: %g °C, %v, want OutOfRange", uint16(register), got, fault)
				}
			case fault != nil || got != want:
				t.Fatalf("register %04x at %d bits: %g °C, %v, want %g", uint16(register), steps.bits, got, fault, want)
			}
		}
	}
}
