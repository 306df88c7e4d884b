package commissioning

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"sync"
	"time"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/site"
	"sunstoker/station"
)

// beat is how often an output is driven anew, as the daemon does, and how often
// readings are looked at.
const beat = time.Second

// plant is the plant once it was taken.
type plant struct {
	site   *site.Site
	time   Time
	take   func() (*station.Taken, error)
	broken context.CancelCauseFunc

	*station.Taken // nil until it was taken
	stop           context.CancelFunc
	readers        sync.WaitGroup
}

// settle is how long probes have to come with a first value.
const settle = 20 * time.Second

// open takes the plant if it was not yet, and waits for its readings.
func (p *plant) open(ctx context.Context) error {
	if p.Taken != nil {
		return nil
	}
	taken, err := p.take()
	if err != nil {
		return err
	}
	p.Taken = taken
	reading, stop := context.WithCancel(ctx)
	p.stop = stop
	for _, bus := range taken.Buses {
		p.readers.Go(func() { p.run(reading, bus) })
	}
	for waited := time.Duration(0); waited < settle && !p.allRead(); waited += beat {
		if err := p.time.Pass(ctx, beat); err != nil {
			return err
		}
	}
	return nil
}

// run reads a bus. A mistake of the program there ends the hand-over, which drives
// all off.
func (p *plant) run(ctx context.Context, bus station.BusPort) {
	defer func() {
		if value := recover(); value != nil {
			p.broken(fmt.Errorf("a mistake of this program while it read the bus %s: %v; everything is driven off", bus.Name(), value))
		}
	}()
	if bus.Member != nil {
		defer bus.Member.Leave()
	}
	_ = bus.Run(ctx) // its probes say what is wrong
}

func (p *plant) allRead() bool {
	for i := range p.Probes {
		if _, why := p.read(i); why != "" {
			return false
		}
	}
	return true
}

// close lets go of everything, all outputs off.
func (p *plant) close() error {
	if p.Taken == nil {
		return nil
	}
	err := p.Taken.Close()
	if err != nil {
		err = fmt.Errorf("not every output is known to be off, use the isolators: %w", err)
	}
	p.stop()
	p.Taken = nil
	return err
}

// read gives the newest value of a probe, or says why there is none.
func (p *plant) read(i int) (value float64, why string) {
	sample := p.Probes[i].Latest()
	age := p.time.Now() - sample.Taken
	switch limit := p.site.Settings.ReadingAgeLimit; {
	case sample.Fault != nil:
		return 0, sample.Fault.Error()
	case math.IsNaN(sample.Value):
		return 0, "no number"
	case age > limit:
		return 0, fmt.Sprintf("its newest value is %.0f s old", age.Seconds())
	}
	return sample.Value, ""
}

// at gives the reading of a place, or says why there is none.
func (p *plant) at(system int, place control.Place) (value float64, why string) {
	i := slices.Index(p.site.Plan.Probes, control.Probe{System: system, Place: place})
	if i < 0 {
		return 0, "there is no probe for it in the site file"
	}
	return p.read(i)
}

// drive holds one output on until each says stop or the time is over, and then has
// it off, on every way out.
func (p *plant) drive(ctx context.Context, output int, most time.Duration, each func(held time.Duration) (stop bool)) (err error) {
	out := p.Outputs[output]
	defer func() {
		if off := out.Safe(); off != nil {
			err = errors.Join(err, fmt.Errorf("it may still be on, use its isolator: %w", off))
		}
	}()
	for held := time.Duration(0); held < most; {
		for i := range p.Banks {
			if err := p.Banks[i].ReadBack(); err != nil {
				return err
			}
		}
		if err := out.Set(actuators.Command{Level: 1}); err != nil {
			return err
		}
		if err := p.time.Pass(ctx, beat); err != nil {
			return err
		}
		held += beat
		if each(held) {
			return nil
		}
	}
	return nil
}

// nearFreezingK is how far above freezing the fluid in a collector must be for a
// pump to be tried (common practice, no source).
const nearFreezingK = 2

// forbids says why an output must not be on now, empty when it may.
func (p *plant) forbids(output int) string {
	o := p.site.Outputs[output]
	s := &p.site.Systems[o.System]
	switch o.Actuator {
	case control.BackupHeater:
		return p.forbidsHeater(o.System, s.Settings.TankLimitC)
	case control.LoopPump:
		c, why := p.at(o.System, control.Collector)
		ceiling := s.Settings.RestartCeilingC - s.Settings.RestartCeilingBandK
		switch {
		case why != "":
			return "The collector can't be read (" + why + "), and may be steaming: mend its probe first."
		case c >= ceiling:
			return fmt.Sprintf("The collector has %.1f °C, and the pump is not run into it from %g °C: it may be steaming. Cover the collectors, or come back in the evening.", c, ceiling)
		case c <= s.FreezingPointC+nearFreezingK:
			return fmt.Sprintf("The collector has %.1f °C, and its fluid begins to freeze at %.0f °C: no pump is run against thick or frozen fluid. Come back when it is warmer.", c, s.FreezingPointC)
		}
	}
	return ""
}

func (p *plant) forbidsHeater(system int, limitC float64) string {
	if _, why := p.at(system, control.TankTop); why != "" {
		return "The tank top can't be read (" + why + "), and no heater is on without it: mend its probe first."
	}
	for _, place := range []control.Place{control.TankTop, control.TankBottom} {
		if c, why := p.at(system, place); why == "" && c >= limitC {
			return fmt.Sprintf("The %s has %.1f °C, and the tank limit is %g °C: let it cool first.", place.Words(), c, limitC)
		}
	}
	return ""
}
