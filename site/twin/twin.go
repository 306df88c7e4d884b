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
}

// Figures of the usual size for what a site file leaves open. Common practice,
// no source, unless one is named.
const (
	collectorCapacityJM2K  = 8000 // plate, fluid and half the glazing of a flat plate
	collectorAngleB0       = 0.12 // angle modifier of one glass cover
	coilUAPerCollectorM2   = 85   // W/K of coil for each m² of collector
	coilUAPerM2            = 350  // W/K for each m² of a coil in standing water
	heatDumpPerCollectorM2 = 12   // W/K: it gives away a full sun at some 50 K above the air
	pumpedHeadPa           = 20e3 // loop of thin pipe at its pump's flow
	roofPipeLitres         = 2.5  // one way
	roofPipeLossWK         = 2.5
	heaterThermostatC      = 78 // the heater's own, below its cut-out
	tankReliefC            = 95 // temperature relief valve
)

// Config gives the simulated house of a site, with a probe for every reading
// of the plan, in the plan's order.
func Config(s *site.Site, o Options) (sim.Config, error) {
	c := sim.Config{
		Weather: o.Weather, Start: o.Start, Zone: s.Zone, RoomC: s.Surroundings.RoomC, Albedo: s.Surroundings.GroundReflectionPercent / 100, StepSize: o.Step,
		DrawsInSeries: s.Household.DrawsInSeries,
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
	shareDraws(c.Systems, s)
	for i := range s.Plan.Probes {
		c.Probes = append(c.Probes, probeOf(s, i, &o))
	}
	return c, nil
}

// shareDraws makes the shares of a site add up to 1, which thirds in percent do
// not; without shares they stay zero, which means equal ones.
func shareDraws(systems []sim.System, s *site.Site) {
	sum := 0.0
	for i := range s.Systems {
		sum += s.Systems[i].DrawSharePercent
	}
	for i := range systems {
		if sum > 0 {
			systems[i].DrawShare = s.Systems[i].DrawSharePercent / sum
		}
	}
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
	for _, days := range h.Holidays {
		who.Holidays = append(who.Holidays, span(days))
	}
	for _, g := range h.Guests {
		who.Guests = append(who.Guests, household.Visit{Span: span(g.Days), Persons: float64(g.People)})
	}
	return who, who.Validate()
}

// span is a run of days that comes every year, as package household writes it.
func span(d site.Days) household.Span {
	return household.Span{
		First: household.Date{Month: d.First.Month, Day: d.First.Day},
		Last:  household.Date{Month: d.Last.Month, Day: d.Last.Day},
	}
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
	if sys.Store == site.LoopFluid {
		loopFluidStore(&p, &sys.LoopFluidStore)
	}
	if hasOutput(s, i, control.HeatDump) {
		p.HeatDumpWK = cmp.Or(sys.Plumbing.HeatDumpWK, heatDumpPerCollectorM2*p.Collector.AreaM2)
	}
	heat(&p, &sys.Heater)
	fit(&p, &sys.TankFittings)
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
func loopFluidStore(p *plant.Config, s *site.LoopFluidStore) {
	usual := plant.TypicalStore()
	p.CoilUAWK, p.CoilBottom, p.CoilTop, p.ReliefC = 0, usual.CoilBottom, usual.CoilTop, 0
	p.Store = usual.Store
	p.Store.PressurePaAbs = p.AirPaAbs
	p.Store.FeedByLayers, p.Store.LossLitresPerDay = s.FeedByLayers, s.FluidLossL
	if s.TapCoilAreaM2 > 0 {
		p.Store.TapCoilUAWK = coilUAPerM2 * s.TapCoilAreaM2
	}
}
