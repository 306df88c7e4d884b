// Package twin makes the simulated house that a site file describes: the same
// systems, places and outputs, in the same order, on a plant of package sim.
// The demo, the yearly simulation and the bench all start from it.
//
// A site file says what a controller must know of a plant, not all that a
// simulation must. The rest is filled in with figures of the usual size; they
// stand in this file, each with its source or as common practice.
package twin

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/physics"
	"sunstoker/sim"
	"sunstoker/sim/household"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
	"sunstoker/site"
)

// Options are what a site file does not say about a simulated house.
type Options struct {
	Weather weather.Source
	Start   time.Time     // instant of elapsed time zero
	Step    time.Duration // of the plant; zero for 10 s
	Seed    uint64        // of household and probe noise
	// ProbeNoiseK is the standard deviation of a reading, and ProbeLag its time
	// constant; readings have 1/16 K resolution in any case.
	ProbeNoiseK float64
	ProbeLag    time.Duration
}

// Figures of the usual size for what a site file leaves open. Common practice,
// no source, unless one is named.
const (
	collectorCapacityJM2K  = 8000 // plate, fluid and half the glazing of a flat plate
	collectorAngleB0       = 0.12 // angle modifier of one glass cover
	coilUAPerCollectorM2   = 85   // W/K of coil for each m² of collector
	heatDumpPerCollectorM2 = 12   // W/K: it gives away a full sun at some 50 K above the air
	pumpedHeadPa           = 20e3 // loop of thin pipe at its pump's flow
	roofPipeLitres         = 2.5  // one way
	roofPipeLossWK         = 2.5
	roomC                  = 18 // around the tank
	groundAlbedo           = 0.2
	heaterThermostatC      = 78 // the heater's own, below its cut-out
	tankReliefC            = 95 // temperature relief valve
)

// Config gives the simulated house of a site, with a probe for every reading
// of the plan, in the plan's order.
func Config(s *site.Site, o Options) (sim.Config, error) {
	c := sim.Config{
		Weather: o.Weather, Start: o.Start, Zone: s.Zone, RoomC: roomC, Albedo: groundAlbedo, StepSize: o.Step,
	}
	var err error
	if c.Household, err = people(s, o.Seed); err != nil {
		return c, err
	}
	for i := range s.Systems {
		sys := &s.Systems[i]
		p, err := plantOf(s, i)
		if err != nil {
			return c, fmt.Errorf("system %q: %w", sys.Name, err)
		}
		c.Systems = append(c.Systems, sim.System{Name: sys.Name, Plant: p, Plane: sys.Collector.Plane()})
	}
	for i, p := range s.Plan.Probes {
		c.Probes = append(c.Probes, sim.ProbeConfig{
			Name: ProbeName(s, i), System: max(0, p.System), Place: p.Place.String(),
			Lag: o.ProbeLag, NoiseK: o.ProbeNoiseK, StepK: sim.UsualStepK, Seed: o.Seed,
		})
	}
	return c, nil
}

// ProbeName is what the simulated house calls the probe of a reading: the
// place, after the system's name when it belongs to one.
func ProbeName(s *site.Site, reading int) string {
	p := s.Plan.Probes[reading]
	if p.System == control.House {
		return p.Place.Words()
	}
	return s.Systems[p.System].Name + ", " + p.Place.Words()
}

func people(s *site.Site, seed uint64) (household.Source, error) {
	h := s.Household
	if h.Profile != "" {
		return household.TappingProfile(h.Profile)
	}
	who := household.People{
		Persons: float64(h.People), LitresAt60: h.LitresPerPerson,
		WinterMore: household.UsualWinterMore, Southern: s.LatitudeDeg < 0, Seed: seed,
	}
	return who, who.Validate()
}

// plantOf fills in one system's plant.
func plantOf(s *site.Site, i int) (plant.Config, error) {
	sys := &s.Systems[i]
	p := plant.Typical()
	if sys.Loop == control.Natural {
		p = plant.TypicalNatural() // hangs the tank above the collector; buoyancy moves the loop
	} else {
		pumpedLoop(&p, sys)
	}
	p.AirPaAbs = physics.AirPressurePa(s.AltitudeM)
	p.LoopPressurePaAbs = sys.LoopPressurePaAbs(s.AltitudeM) // of the air alone where none is written
	fluid, err := sys.LoopFluid()
	if err != nil {
		return p, err
	}
	p.Fluid = fluid
	p.Collector = sys.Collector.Curve()
	p.Collector.CapacityJM2K, p.Collector.B0 = collectorCapacityJM2K, collectorAngleB0
	p.CoilUAWK = coilUAPerCollectorM2 * p.Collector.AreaM2
	p.TankLitres, p.TankUAWK, p.TemperingC = sys.Tank.VolumeL, sys.Tank.LossWK, sys.Tank.TemperingC
	p.ReliefC = tankReliefC
	p.HeaterW, p.CutOutC, p.ThermostatC = sys.Heater.PowerW, sys.Heater.CutOutC, heaterThermostatC
	if p.CutOutC > 0 {
		p.ThermostatC = min(p.ThermostatC, p.CutOutC-5)
	}
	if sys.Store == site.LoopFluid {
		loopFluidStore(&p)
	}
	if hasOutput(s, i, control.HeatDump) {
		p.HeatDumpWK = cmp.Or(sys.Plumbing.HeatDumpWK, heatDumpPerCollectorM2*p.Collector.AreaM2)
	}
	plumb(&p, sys, hasOutput(s, i, control.HotWaterCirculation))
	return p, nil
}

// hasOutput tells whether the program switches an actuator of a system.
func hasOutput(s *site.Site, system int, a control.Actuator) bool {
	return slices.ContainsFunc(s.Plan.Outputs, func(o control.Output) bool { return o.System == system && o.Actuator == a })
}

func pumpedLoop(p *plant.Config, sys *site.System) {
	p.PumpFlowLMin, p.PumpW, p.LoopHeadPa, p.CheckValve = sys.LoopFlowLPerMin, sys.PumpW, pumpedHeadPa, true
	p.HotPipe = plant.Pipe{VolumeL: roofPipeLitres, UAWK: roofPipeLossWK, OutdoorShare: 0.3}
	p.ColdPipe = p.HotPipe
}

// loopFluidStore lets a coil of drinking water take the heat out of a store
// that holds the loop's own fluid.
func loopFluidStore(p *plant.Config) {
	usual := plant.TypicalStore()
	p.CoilUAWK, p.CoilBottom, p.CoilTop, p.ReliefC = 0, usual.CoilBottom, usual.CoilTop, 0
	p.Store = usual.Store
	p.Store.PressurePaAbs = p.AirPaAbs
}
