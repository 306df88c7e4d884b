package station

import (
	"context"
	"sync/atomic"
	"time"

	"sunstoker/actuators"
	"sunstoker/control"
)

// drive is the last stage before the plant: every output, paced.
type drive struct {
	outputs []*actuators.Paced
	all     actuators.All // the same, to go off together
	banks   []Bank
	driving []string     // per output, why it could not be driven last; empty when it could
	reading []string     // per output, why its line could not be read back or differs
	instant atomic.Int64 // of the tick under way, for the minimum times
}

// newDrive paces every output by its system's settings. The minimum times are
// held by the controller already; here they keep a fault further up from
// making a relay chatter. They count by the instants of ticks, as the
// controller does, so that the two never differ by the length of a tick.
func newDrive(plan *control.Plan, ports *Ports) *drive {
	d := &drive{
		banks:   ports.Banks,
		driving: make([]string, len(plan.Outputs)),
		reading: make([]string, len(plan.Outputs)),
	}
	now := func() time.Duration { return time.Duration(d.instant.Load()) }
	for i, o := range plan.Outputs {
		minOn, minOff := minimumTimes(o.Actuator, &plan.Systems[o.System].Settings)
		paced := actuators.Pace(ports.Outputs[i], minOn, minOff, now)
		d.outputs = append(d.outputs, paced)
		d.all = append(d.all, paced)
	}
	return d
}

// repace lets the minimum times of a plan count from now on.
func (d *drive) repace(plan *control.Plan) {
	for i, o := range plan.Outputs {
		d.outputs[i].Repace(minimumTimes(o.Actuator, &plan.Systems[o.System].Settings))
	}
}

func minimumTimes(a control.Actuator, s *control.Settings) (on, off time.Duration) {
	if a == control.BackupHeater {
		return s.HeaterMinimumRun, s.HeaterMinimumRest
	}
	return s.MinimumRun, s.MinimumRest
}

// readBack looks at the lines. It comes before they are driven anew, which
// would overwrite the trace of another program.
func (d *drive) readBack() {
	clear(d.reading)
	for i := range d.banks {
		bank := &d.banks[i]
		if err := bank.ReadBack(); err != nil {
			for _, out := range bank.Outputs {
				d.reading[out] = err.Error()
			}
		}
	}
}

// set drives one output by its decision, whether it changed or not.
func (d *drive) set(i int, decision *control.Decision) {
	d.driving[i] = ""
	err := d.outputs[i].Set(actuators.Command{Level: decision.Level, Urgent: decision.Urgent})
	if err != nil {
		d.driving[i] = err.Error()
	}
}

// fault says what is wrong with an output now, empty when nothing is.
func (d *drive) fault(i int) string {
	if d.driving[i] != "" {
		return d.driving[i]
	}
	return d.reading[i]
}

// close drives every output off, for good: commands that come later are
// refused. An output that does not come back from its driver is waited for no
// longer than the context lives.
func (d *drive) close(ctx context.Context) error {
	done := make(chan error, 1)
	go func() { done <- d.all.Close() }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}
