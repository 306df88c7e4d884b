package sensors

import (
	"context"
	"fmt"
	"math"
)

// ThermistorOptions describe a thermistor (NTC) below a fixed resistor: supply,
// resistor, input, thermistor, ground.
type ThermistorOptions struct {
	AnalogInput
	SupplyInput int     // the converter's input that measures the divider's supply
	Ohm25       float64 // of the thermistor at 25 °C
	BetaK       float64 // between 25 and 85 °C
	DividerOhm  float64 // the fixed resistor
}

// Thermistor measures an NTC with an ADS1115.
//
//	Range       -40 to 150 °C, and no further than the divider shows it
//	Resolution  10 kΩ over 10 kΩ at 3.3 V: 0.01 K at 25 °C, 0.02 K at 60 °C, 0.1 K at 120 °C
//	Bus         I2C, 100 or 400 kHz
//	Time        18 ms
//
// Two of the commonest faults look like frost and like overheat: an open
// thermistor like one that is very cold, a shorted one like one that is very
// hot. The outermost 1.5 % of the divider's range are refused as such.
//
// With BetaK = 3977 the curve is the one that its maker publishes for that
// material, within 0.02 K of the table in testdata. With another it is the beta formula,
// exact at 25 and 85 °C; it errs by 0.7 K at 0 °C, 0.4 K at 100 °C and 1.6 K at
// -20 and 120 °C where the material is like that one. The part's own tolerance comes
// on top: a resistor of 1 % is some 0.25 K at 25 °C.
type Thermistor struct {
	*ratiometric
	options ThermistorOptions
}

const (
	thermistorLeastC = -40.0
	thermistorMostC  = 150.0

	dividerEnd = 0.015 // of the supply, at both ends, is no reading

	kelvinAt0C  = 273.15
	kelvinAt25C = 298.15
)

// NewThermistor checks the options; nothing is opened before the first Ask.
func NewThermistor(o ThermistorOptions) (*Thermistor, error) {
	r, err := newRatiometric(o.AnalogInput, o.SupplyInput, 2.5, 5.5)
	switch {
	case err != nil:
	case !(o.Ohm25 > 0) || !(o.DividerOhm > 0) || !(o.BetaK > 0):
		err = fmt.Errorf("a thermistor of %g Ω with a beta of %g K below %g Ω: each must be above 0", o.Ohm25, o.BetaK, o.DividerOhm)
	}
	if err != nil {
		return nil, fmt.Errorf("thermistor at %s: %w", o.String(), err)
	}
	return &Thermistor{r, o}, nil
}

// Name implements [Driver].
func (t *Thermistor) Name() string { return "the thermistor at " + t.options.String() }

// Ask implements [Driver].
func (t *Thermistor) Ask(ctx context.Context, clock Clock) (Answer, error) {
	share, raw, err := t.share(ctx, clock)
	if err != nil {
		return Answer{Raw: raw}, err
	}
	tempC, err := t.options.temperatureC(share)
	return Answer{Value: tempC, Raw: raw}, err
}

func (o *ThermistorOptions) temperatureC(share float64) (float64, error) {
	switch {
	case !(share <= 1-dividerEnd):
		return math.NaN(), faultf(Broken, "the input is at %.1f %% of its supply: thermistor, cable or plug is open", share*100)
	case !(share >= dividerEnd):
		return math.NaN(), faultf(Shorted, "the input is at %.1f %% of its supply: thermistor or cable is shorted, or the fixed resistor is not connected", share*100)
	}
	ohm := o.DividerOhm * share / (1 - share)
	tempC := thermistorC(ohm/o.Ohm25, o.BetaK)
	if !(tempC >= thermistorLeastC && tempC <= thermistorMostC) {
		return math.NaN(), faultf(OutOfRange, "%.4g Ω is not within %g to %g °C; check thermistor and fixed resistor", ohm, thermistorLeastC, thermistorMostC)
	}
	return tempC, nil
}

// knownMaterialBetaK is the beta of the material whose curve is known.
const knownMaterialBetaK = 3977

// thermistorC is the temperature in °C at which a thermistor has ratio times its
// resistance of 25 °C. Curve of the known material: testdata/ntc_10k_3977_formulas.json.
func thermistorC(ratio, betaK float64) float64 {
	l := math.Log(ratio)
	if betaK == knownMaterialBetaK {
		return 1/(0.0033539438+l*(0.00025646095+l*(2.5158166e-06+l*1.0503069e-07))) - kelvinAt0C
	}
	return 1/(1/kelvinAt25C+l/betaK) - kelvinAt0C
}
