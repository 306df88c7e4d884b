package demo

import (
	"context"
	_ "embed"
	"errors"
	"fmt"
	"sync"
	"time"

	"sunstoker/actuators"
	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/sensors"
	"sunstoker/sim"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
	"sunstoker/station"
)

//go:embed site.toml
var siteText []byte

// Site is the demo's house; its state folder and address are for the caller
// to set.
func Site() (*site.Site, error) { return site.Parse("the demo's site file", siteText) }

// What the simulated probes are like: the noise of a quiet cable, and the
// resolution of a DS18B20 at 12 bits (its data sheet, table 1).
const (
	probeNoiseK = 0.05
	probeLag    = 15 * time.Second
	readPeriod  = 2 * time.Second // of simulated time, as of the 1-wire bus
)

// Plant is the simulated house as the station sees it. It implements
// [station.Simulated].
type Plant struct {
	site *site.Site

	mu     sync.Mutex
	house  *sim.House
	probes []*sim.Probe
	read   time.Duration // instant of the newest readings
	values []reading
}

type reading struct {
	valueC float64
	ok     bool
}

// NewPlant builds the house of a site whose probes and outputs are simulated.
func NewPlant(s *site.Site) (*Plant, error) {
	place := weather.Place{LatitudeDeg: s.LatitudeDeg, LongitudeDeg: s.LongitudeDeg, AltitudeM: s.AltitudeM}
	source, err := weather.NewScripted(place, sky)
	if err != nil {
		return nil, err
	}
	config := sim.Config{
		Weather: source, Start: Begin(s.Zone), Zone: s.Zone, Household: people{}, RoomC: 18, Albedo: 0.2,
		Mains: physics.MainsWater{MeanAirC: 12, AirSwingK: 20},
	}
	for i := range s.Systems {
		system, err := systemOf(s, i)
		if err != nil {
			return nil, err
		}
		config.Systems = append(config.Systems, system)
	}
	house, err := sim.New(config)
	if err != nil {
		return nil, err
	}
	p := &Plant{site: s, house: house, values: make([]reading, len(s.Probes))}
	for i, w := range s.Probes {
		probe, err := house.AddProbe(sim.ProbeConfig{
			Name: fmt.Sprintf("%s of system %d", w.Place.Words(), w.System), System: max(0, w.System), Place: w.Place.String(),
			Lag: probeLag, NoiseK: probeNoiseK, StepK: sim.UsualStepK, Seed: uint64(i + 1),
		})
		if err != nil {
			return nil, err
		}
		p.probes = append(p.probes, probe)
	}
	return p, nil
}

// systemOf is a plant of the usual size with the site's figures in it.
func systemOf(s *site.Site, i int) (sim.System, error) {
	in := &s.Systems[i]
	c := plant.Typical()
	c.Collector.AreaM2 = in.Collector.AreaM2
	c.Collector.Eta0 = in.Collector.OpticalEfficiencyPercent / 100
	c.Collector.A1WM2K = in.Collector.LossWM2K
	c.Collector.A2WM2K2 = in.Collector.LossGrowthWM2K2
	c.PumpFlowLMin = in.LoopFlowLPerMin
	c.TankLitres = in.Tank.VolumeL
	c.TankUAWK = in.Tank.LossWK
	c.HeaterW = in.Heater.PowerW
	c.CutOutC = in.Heater.CutOutC
	c.TemperingC = in.Tank.TemperingC
	c.StartC = 40
	if !in.Glycol || in.Loop != control.Pumped {
		return sim.System{}, errors.New("demo: the simulated plant has a pumped loop with antifreeze")
	}
	glycol, err := physics.PropyleneGlycol(in.AntifreezePercent / 100)
	if err != nil {
		return sim.System{}, err
	}
	c.Fluid = glycol
	return sim.System{
		Name: in.Name, Plant: c,
		Plane: physics.Plane{TiltDeg: in.Collector.TiltDeg, AzimuthDeg: in.Collector.DirectionDeg},
	}, nil
}

// Probe implements [station.Simulated].
func (p *Plant) Probe(i int) (sensors.Probe, error) {
	now := func() time.Duration {
		p.mu.Lock()
		defer p.mu.Unlock()
		return p.read
	}
	return sensors.NewSimulated(now, func() (float64, error) {
		p.mu.Lock()
		defer p.mu.Unlock()
		if v := p.values[i]; v.ok {
			return v.valueC, nil
		}
		return 0, errors.New("the simulated probe gives no value")
	}), nil
}

// Output implements [station.Simulated].
func (p *Plant) Output(i int) (actuators.Output, error) {
	o := p.site.Outputs[i]
	return actuators.NewSimulated(func(level float64) {
		p.mu.Lock()
		defer p.mu.Unlock()
		twin.Drive(p.house, o.Output, level)
	}), nil
}

// Buses implements [station.Simulated]: one that moves the house on and reads
// its probes.
func (p *Plant) Buses(clock station.Clock) []station.BusPort {
	member := clock.Join("the simulated house", station.BusTurn)
	return []station.BusPort{{Bus: &bus{p, member}, Member: member}}
}

type bus struct {
	plant *Plant
	clock sensors.Clock
}

// Name implements [sensors.Bus].
func (b *bus) Name() string { return "the simulated house" }

// Stuck implements [sensors.Bus].
func (b *bus) Stuck() (since time.Duration, what string, stuck bool) { return 0, "", false }

// Run implements [sensors.Bus].
func (b *bus) Run(ctx context.Context) error {
	for at := b.clock.Now(); ; at = b.clock.Now() + readPeriod {
		if err := b.clock.Wait(ctx, at); err != nil {
			return err
		}
		b.plant.advance(b.clock.Now())
	}
}

func (p *Plant) advance(now time.Duration) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.house.Advance(now)
	p.read = now
	for i, probe := range p.probes {
		p.values[i].valueC, p.values[i].ok = probe.Read(now)
	}
}
