package sensors

import (
	"context"
	"fmt"
	"time"
)

// pulseRate turns a count into pulses a second.
type pulseRate struct {
	count  uint64
	last   time.Duration
	known  bool // last is the instant of a pulse
	perSec float64
}

// longestGap is the time without a pulse after which nothing flows.
const longestGap = 5 * time.Minute

// update takes a new count. Between two looks the rate is that of the pulses
// from the last one before to the newest; without a new one it is at most what
// the time since then still allows.
func (r *pulseRate) update(t tally, now time.Duration) float64 {
	fresh := t.count - r.count
	switch {
	case fresh > 0:
		if r.known && t.last > r.last {
			r.perSec = float64(fresh) / (t.last - r.last).Seconds()
		}
		r.count, r.last, r.known = t.count, t.last, true
	case r.known && now-r.last >= longestGap:
		*r = pulseRate{count: r.count}
	case r.known && now > r.last:
		r.perSec = min(r.perSec, 1/(now-r.last).Seconds())
	}
	return r.perSec
}

// PulseMeter measures by the time between the pulses of a meter: contact or open
// collector to ground.
//
//	Range   0 to 1 / (2 × Settle) pulses a second
//	Error   that of the meter; a change shows with the next pulse, and a flow that
//	        has stopped sinks as 1 / time to 0 within 5 min
//
// After the start and after a failure it reads 0 until two pulses were seen.
// Formulas: flow in l/min = 60 × litres a pulse / seconds between pulses, power
// in W = 3 600 000 / (pulses a kWh × seconds between pulses); S0 meters hold
// their output for 30 ms at least (EN 62053-31, see testdata).
type PulseMeter struct {
	*contact
	name   string
	factor float64 // value of one pulse a second
	rate   pulseRate
}

// NewFlowMeter is a meter of litresPerPulse; its value is in l/min.
func NewFlowMeter(o ContactOptions, litresPerPulse float64) (*PulseMeter, error) {
	return newPulseMeter(o, "the flow meter at "+o.Line, 60*litresPerPulse)
}

// NewElectricityMeter is an S0 meter of so many pulses a kWh; its value is the
// current in A of a load that only heats, at the given voltage.
func NewElectricityMeter(o ContactOptions, pulsesPerKWh, volts float64) (*PulseMeter, error) {
	return newPulseMeter(o, "the electricity meter at "+o.Line, 3.6e6/pulsesPerKWh/volts)
}

func newPulseMeter(o ContactOptions, name string, factor float64) (*PulseMeter, error) {
	c, err := newContact(o)
	if err == nil && !(factor > 0 && factor < 1e9) {
		err = fmt.Errorf("%s: a pulse a second would be %g: correct what a pulse stands for", name, factor)
	}
	if err != nil {
		return nil, err
	}
	return &PulseMeter{contact: c, name: name, factor: factor}, nil
}

// Name implements [Driver].
func (m *PulseMeter) Name() string { return m.name }

// Ask implements [Driver].
func (m *PulseMeter) Ask(_ context.Context, clock Clock) (Answer, error) {
	t, anew, err := m.look(clock)
	if anew || err != nil {
		m.rate = pulseRate{}
	}
	if err != nil {
		return Answer{}, err
	}
	return Answer{
		Value: m.rate.update(t, clock.Now()) * m.factor,
		Raw:   fmt.Sprintf("%d pulses", t.count),
	}, nil
}
