package sensors

import (
	"context"
	"fmt"
	"math"
	"time"
)

// ClampOptions describe a current clamp that gives an alternating voltage, which
// rides on half the converter's supply.
type ClampOptions struct {
	AnalogInput
	AmperePerVolt float64 // both as root mean square: 30 for a clamp of 30 A to 1 V
}

// Clamp measures an alternating current with an ADS1115, as the root mean square
// of 100 samples over 0.4 s, without the steady voltage that they ride on.
//
//	Range       0 to 1.4 V from the clamp at a 3.3 V bias network
//	Resolution  with 30 A to 1 V: some 5 mA; a small pump takes 0.2 A
//	Error       that of the clamp, and 2 % for the number of samples
//	Time        0.4 s
//
// The samples are 3.82 ms apart, which is no simple share of the period at 50 or
// 60 Hz, so that they fall on all its phases alike. A clamp that is not plugged in reads 0 A like one around a
// wire without current: nothing here can tell them apart; only its bias network
// is checked. A clamp belongs around one wire alone and is fitted by a qualified
// electrician.
type Clamp struct {
	*analog
	options ClampOptions
	samples []float64 // V
}

const (
	clampSamples = 100
	clampStep    = 3820 * time.Microsecond
	clampMost    = 2 * clampSamples * clampStep // a bus that needs longer misses phases

	clampLeastBiasV = 0.5 // the bias network is half of 2.5 to 5 V
	clampMostBiasV  = 3.0
	clampEndV       = 0.02 // so near to ground the signal is cut off
)

// NewClamp checks the options; nothing is opened before the first Ask.
func NewClamp(o ClampOptions) (*Clamp, error) {
	a, err := newAnalog(o.AnalogInput)
	if err == nil && !(o.AmperePerVolt > 0) {
		err = fmt.Errorf("%g A to 1 V: it must be above 0", o.AmperePerVolt)
	}
	if err != nil {
		return nil, fmt.Errorf("current clamp at %s: %w", o.String(), err)
	}
	return &Clamp{analog: a, options: o, samples: make([]float64, 0, clampSamples)}, nil
}

// Name implements [Driver].
func (c *Clamp) Name() string { return "the current clamp at " + c.options.String() }

// Period is that of a line with a clamp: some 300 transfers a measurement would
// be a load on a small board if they came every 2 s.
func (c *Clamp) Period() time.Duration { return 5 * time.Second }

// Ask implements [Driver]; the value is in A.
func (c *Clamp) Ask(ctx context.Context, clock Clock) (Answer, error) {
	c.samples = c.samples[:0]
	if _, err := c.convert(ctx, clock, c.input.Input, analogSwift); err != nil { // see begin
		return Answer{}, err
	}
	begun := clock.Now()
	for i := range clampSamples {
		if err := clock.Wait(ctx, begun+time.Duration(i)*clampStep); err != nil {
			return Answer{}, err
		}
		code, err := c.convert(ctx, clock, c.input.Input, analogSwift)
		if err != nil {
			return Answer{}, err
		}
		c.samples = append(c.samples, analogV(code))
	}
	if took := clock.Now() - begun; took > clampMost {
		return Answer{}, faultf(Unsettled, "the samples took %v where %v are planned; the board or the bus is too busy", took, clampSamples*clampStep)
	}
	return c.options.judge(c.samples)
}

// judge turns samples in V into a current.
func (o *ClampOptions) judge(samples []float64) (Answer, error) {
	low, sum := math.Inf(1), 0.0
	for _, v := range samples {
		low, sum = min(low, v), sum+v
	}
	bias := sum / float64(len(samples))
	squares := 0.0
	for _, v := range samples {
		squares += (v - bias) * (v - bias)
	}
	rms := math.Sqrt(squares / float64(len(samples)))
	answer := Answer{Value: math.NaN(), Raw: fmt.Sprintf("%.4f V on %.3f V", rms, bias)}
	switch {
	case bias < clampLeastBiasV || bias > clampMostBiasV:
		return answer, faultf(Unpowered, "the signal rides on %.2f V, and %g to %g V is half of a supply; check the clamp's bias network", bias, clampLeastBiasV, clampMostBiasV)
	case low < clampEndV:
		return answer, faultf(OutOfRange, "the signal of %.2f V is cut off at ground: the current is more than the clamp is made for, or the clamp gives a current and has no burden resistor", rms)
	}
	answer.Value = rms * o.AmperePerVolt
	return answer, nil
}
