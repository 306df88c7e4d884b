package control

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Unit is a physical unit out of a closed list. Values are held in the unit's
// own symbol everywhere inside the program; a person may write a multiple of
// it ("1.5 kW", "3 min") and [Unit.Parse] converts.
type Unit uint8

// The units a site file can use.
const (
	Celsius      Unit = iota // °C, a temperature
	Kelvin                   // K, a difference of temperatures
	Second                   // s, a time span
	Watt                     // W
	Litre                    // l
	LitrePerMin              // l/min
	SquareMetre              // m²
	Metre                    // m
	Degree                   // °, an angle
	Percent                  // %
	Bar                      // bar above the air around it
	Ampere                   // A
	Volt                     // V
	Ohm                      // Ω
	Hertz                    // Hz
	LossPerArea              // W/(m² K)
	LossPerArea2             // W/(m² K²)
	LossRate                 // W/K
	LightSum                 // kWh/m², of a year
	Plain                    // a number without unit
	numUnits
)

type spelling struct {
	text   string
	factor float64
}

// unitTable: the symbol, what it measures, and the spellings with the factor
// that turns them into the symbol's unit.
var unitTable = [numUnits]struct {
	symbol, measures string
	spellings        []spelling
}{
	Celsius:      {"°C", "a temperature", []spelling{{"°C", 1}, {"degC", 1}, {"C", 1}}},
	Kelvin:       {"K", "a temperature difference", []spelling{{"K", 1}}},
	Second:       {"s", "a time span", []spelling{{"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}}},
	Watt:         {"W", "a power", []spelling{{"W", 1}, {"kW", 1000}}},
	Litre:        {"l", "a volume", []spelling{{"l", 1}, {"L", 1}}},
	LitrePerMin:  {"l/min", "a flow", []spelling{{"l/min", 1}, {"l/h", 1.0 / 60}}},
	SquareMetre:  {"m²", "an area", []spelling{{"m²", 1}, {"m2", 1}}},
	Metre:        {"m", "a length", []spelling{{"m", 1}, {"cm", 0.01}, {"mm", 0.001}}},
	Degree:       {"°", "an angle", []spelling{{"°", 1}, {"deg", 1}}},
	Percent:      {"%", "a share", []spelling{{"%", 1}}},
	Bar:          {"bar", "a pressure above the air around it", []spelling{{"bar", 1}, {"mbar", 0.001}, {"kPa", 0.01}}},
	Ampere:       {"A", "a current", []spelling{{"A", 1}, {"mA", 0.001}}},
	Volt:         {"V", "a voltage", []spelling{{"V", 1}, {"mV", 0.001}}},
	Ohm:          {"Ω", "a resistance", []spelling{{"Ω", 1}, {"kΩ", 1000}, {"ohm", 1}, {"kohm", 1000}}},
	Hertz:        {"Hz", "a frequency", []spelling{{"Hz", 1}, {"kHz", 1000}}},
	LossPerArea:  {"W/(m² K)", "a loss by area", []spelling{{"W/(m² K)", 1}, {"W/(m2 K)", 1}}},
	LossPerArea2: {"W/(m² K²)", "a loss by area that grows with temperature", []spelling{{"W/(m² K²)", 1}, {"W/(m2 K2)", 1}}},
	LossRate:     {"W/K", "a loss", []spelling{{"W/K", 1}}},
	LightSum:     {"kWh/m²", "a year's light by area", []spelling{{"kWh/m²", 1}, {"kWh/m2", 1}}},
	Plain:        {"", "a plain number", []spelling{{"", 1}}},
}

// String is the unit's symbol.
func (u Unit) String() string { return unitTable[u].symbol }

// Measures says what the unit is for: "a temperature difference".
func (u Unit) Measures() string { return unitTable[u].measures }

// Format writes a value with its symbol; time spans in the largest unit that
// gives a whole number.
func (u Unit) Format(v float64) string {
	symbol, factor := u.String(), 1.0
	if u == Second && v != 0 {
		for _, s := range unitTable[Second].spellings {
			if math.Mod(v, s.factor) == 0 && s.factor > factor {
				symbol, factor = s.text, s.factor
			}
		}
	}
	text := strconv.FormatFloat(v/factor, 'f', -1, 64)
	if symbol == "" {
		return text
	}
	return text + " " + symbol
}

// Parse reads a number with its unit, such as "8 K" or "3 min". The error says
// what is allowed, in words for the person who wrote the file.
func (u Unit) Parse(text string) (float64, error) {
	number, unit := split(text)
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) || strings.ContainsAny(number, "xXpP_") {
		return 0, fmt.Errorf("%q is no number with a unit; write for example %q", text, u.Format(10))
	}
	for _, s := range unitTable[u].spellings {
		if unit == s.text {
			return v * s.factor, nil
		}
	}
	if unit == "" {
		return 0, fmt.Errorf("%q has no unit; %s is wanted, so write for example %q", text, u.Measures(), u.Format(v))
	}
	return 0, fmt.Errorf("%q is in %q, but %s is wanted; write it in %s", text, unit, u.Measures(), u.allowed())
}

func (u Unit) allowed() string {
	if u == Plain {
		return "plain figures without a unit"
	}
	var names []string
	for _, s := range unitTable[u].spellings {
		names = append(names, s.text)
	}
	return strings.Join(names, ", ")
}

// split cuts "3.5 min" into its number and its unit.
func split(text string) (number, unit string) {
	text = strings.TrimSpace(text)
	for i, r := range text {
		exponent := (r == 'e' || r == 'E') && i+1 < len(text) && strings.IndexByte("+-0123456789", text[i+1]) >= 0
		if !unicode.IsDigit(r) && !strings.ContainsRune("+-._", r) && !exponent || r >= utf8.RuneSelf {
			return text[:i], strings.TrimSpace(text[i:])
		}
	}
	return text, ""
}
