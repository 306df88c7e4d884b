package sensors

import "time"

// resolution is one row of the DS18B20's thermometer resolution table.
type resolution struct {
	bits          int
	configuration byte // byte 4 of the record
	conversion    time.Duration
}

// resolutions: DS18B20 datasheet, thermometer resolution configuration.
var resolutions = [...]resolution{
	{9, 0x1F, 93750 * time.Microsecond},
	{10, 0x3F, 187500 * time.Microsecond},
	{11, 0x5F, 375 * time.Millisecond},
	{12, 0x7F, 750 * time.Millisecond},
}

const longestConversion = 750 * time.Millisecond

// resolutionOf wants the byte exactly: an unknown one belongs to a part whose
// register may mean something else (some variants keep two further digits of
// the temperature in it).
func resolutionOf(configuration byte) (resolution, bool) {
	for _, row := range resolutions {
		if row.configuration == configuration {
			return row, true
		}
	}
	return resolution{}, false
}

// stepC is the temperature that the last defined bit of the register is worth.
func (r resolution) stepC() float64 { return registerC(1 << (fullBits - r.bits)) }

// defined clears the bits of the register that mean nothing at this
// resolution.
func (r resolution) defined(register int16) int16 {
	return register &^ (1<<(fullBits-r.bits) - 1)
}

const (
	fullBits         = 12
	registerStepsPer = 16 // register counts per degree, at every resolution

	lowestC  = -55.0 // range of the part: DS18B20 datasheet
	highestC = 125.0

	powerOnRegister   = 0x0550 // 85 °C: DS18B20 datasheet, table 1
	unpoweredRegister = 0x07FF // 127.94 °C: kernel documentation, w1_therm
	powerOnReserved   = 0x0C   // byte 6 of both: same
)

// registerC is the temperature of a register, in °C; exact in a float64.
func registerC(register int16) float64 { return float64(register) / registerStepsPer }
