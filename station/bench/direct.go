package bench

import (
	"context"
	"errors"
	"time"

	"sunstoker/actuators"
	"sunstoker/sensors"
	"sunstoker/site"
	"sunstoker/station"
)

// Ports are a plant as ports in memory; they implement [station.Simulated].
type Ports struct {
	*Plant
	// Period is the time from reading to reading.
	Period time.Duration
	// Show is called after each reading, for who shows the plant elsewhere; may
	// be nil.
	Show func()
	// Born is the instant of the house at which the station's clock stands at 0.
	Born time.Duration
}

// Wired gives a site whose probes and outputs all lead to a simulated plant.
func Wired(s *site.Site) *site.Site {
	wired := *s
	wired.Probes = append([]site.ProbeWiring(nil), s.Probes...)
	wired.Outputs = append([]site.OutputWiring(nil), s.Outputs...)
	for i := range wired.Probes {
		wired.Probes[i].Kind = site.SimulatedProbe
	}
	for i := range wired.Outputs {
		wired.Outputs[i].Kind = site.SimulatedOutput
	}
	return &wired
}

// Probe implements [station.Simulated].
func (p Ports) Probe(reading int) (sensors.Probe, error) {
	now := func() time.Duration {
		_, at := p.Value(reading)
		return at - p.Born
	}
	return sensors.NewSimulated(now, func() (float64, error) {
		if v, _ := p.Value(reading); v.OK {
			return v.Value, nil
		}
		return 0, errNoValue
	}), nil
}

// Output implements [station.Simulated].
func (p Ports) Output(decision int) (actuators.Output, error) {
	out := actuators.NewSimulated(func(level float64) { p.Drive(decision, level) })
	return guarded{out, p.Plant}, nil
}

// guarded is an output that nobody drives while the board's guard is away.
type guarded struct {
	actuators.Output
	plant *Plant
}

// Set implements [actuators.Output].
func (g guarded) Set(c actuators.Command) error {
	if err := g.plant.Guarded(); err != nil {
		return errors.Join(err, g.Safe())
	}
	return g.Output.Set(c)
}

// Buses implements [station.Simulated]: one that moves the house on and reads its
// probes.
func (p Ports) Buses(clock station.Clock) []station.BusPort {
	member := clock.Join("the simulated house", station.BusTurn)
	return []station.BusPort{{Bus: &bus{p, member}, Member: member}}
}

type bus struct {
	ports Ports
	clock sensors.Clock
}

// Name implements [sensors.Bus].
func (b *bus) Name() string { return "the simulated house" }

// Stuck implements [sensors.Bus].
func (b *bus) Stuck() (since time.Duration, what string, stuck bool) {
	since, hangs := b.ports.Hangs()
	since -= b.ports.Born
	if !hangs || b.clock.Now()-since <= sensors.DefaultStuckAfter {
		return 0, "", false
	}
	return since, "reading the probes", true
}

// Run implements [sensors.Bus].
func (b *bus) Run(ctx context.Context) error {
	for at := b.clock.Now(); ; at = b.clock.Now() + b.ports.Period {
		if err := b.clock.Wait(ctx, at); err != nil {
			return err
		}
		b.ports.Advance(b.ports.Born + b.clock.Now())
		if b.ports.Show != nil {
			b.ports.Show()
		}
	}
}
