package sensors

import (
	"context"
	"fmt"
	"math"
)

// PressureOptions describe a pressure sensor of 0.5 to 4.5 V at a supply of 5 V.
type PressureOptions struct {
	AnalogInput
	SupplyInput int     // the converter's input that measures the sensor's supply
	SpanBar     float64 // above the air around it, at 4.5 V; 0.5 V is 0 bar
}

// Pressure measures a ratiometric pressure sensor with an ADS1115. The converter
// must run from 5 V too: it may not see more than its own supply.
//
//	Range       0 bar to SpanBar, and 2.5 % beyond either end
//	Resolution  SpanBar / 21000
//	Error       the sensor's own; that of its supply cancels
//	Time        18 ms
//
// 0.5 to 4.5 V is the trade's usual signal, 10 to 90 % of the supply, so that an
// open or shorted wire lies outside of it (common practice, no source).
type Pressure struct {
	*ratiometric
	options PressureOptions
}

const (
	pressureZero  = 0.1 // of the supply
	pressureFull  = 0.9
	pressureSlack = 0.02 // of the supply, beyond both; more is a fault
)

// NewPressure checks the options; nothing is opened before the first Ask.
func NewPressure(o PressureOptions) (*Pressure, error) {
	r, err := newRatiometric(o.AnalogInput, o.SupplyInput, 4.5, 5.5)
	if err == nil && !(o.SpanBar > 0) {
		err = fmt.Errorf("a span of %g bar: it must be above 0", o.SpanBar)
	}
	if err != nil {
		return nil, fmt.Errorf("pressure sensor at %s: %w", o.String(), err)
	}
	return &Pressure{r, o}, nil
}

// Name implements [Driver].
func (p *Pressure) Name() string { return "the pressure sensor at " + p.options.String() }

// Ask implements [Driver]; the value is in bar above the air around it.
func (p *Pressure) Ask(ctx context.Context, clock Clock) (Answer, error) {
	share, raw, err := p.share(ctx, clock)
	if err != nil {
		return Answer{Raw: raw}, err
	}
	bar, err := p.options.bar(share)
	return Answer{Value: bar, Raw: raw}, err
}

func (o *PressureOptions) bar(share float64) (float64, error) {
	if !(share >= pressureZero-pressureSlack && share <= pressureFull+pressureSlack) {
		return math.NaN(), faultf(Broken, "the signal is at %.1f %% of its supply, and a whole sensor gives %g to %g %%; check its three wires and its plug",
			share*100, pressureZero*100, pressureFull*100)
	}
	return (share - pressureZero) / (pressureFull - pressureZero) * o.SpanBar, nil
}
