package demo

import (
	_ "embed"
	"errors"
	"fmt"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/station"
	"sunstoker/station/bench"
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

// NewPlant builds the house of a site whose probes and outputs are simulated.
func NewPlant(s *site.Site) (station.Simulated, error) {
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
	for i, w := range s.Probes {
		config.Probes = append(config.Probes, sim.ProbeConfig{
			Name: fmt.Sprintf("%s of system %d", w.Place.Words(), w.System), System: max(0, w.System), Place: w.Place.String(),
			Lag: probeLag, NoiseK: probeNoiseK, StepK: sim.UsualStepK, Seed: uint64(i + 1),
		})
	}
	plant, err := bench.NewOf(s, config)
	if err != nil {
		return nil, err
	}
	return bench.Ports{Plant: plant, Period: readPeriod}, nil
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
