package control

import (
	"errors"
	"fmt"
	"time"

	"sunstoker/physics"
)

// Plan is what the controller knows of a house: its systems, and the order of
// the readings and decisions that Step takes and gives.
type Plan struct {
	Zone        *time.Location // local civil time, for windows; nil means UTC
	LatitudeDeg float64        // north positive; tells the cold season and, with the longitude, when it is dark
	// LongitudeDeg is east positive.
	LongitudeDeg float64
	Settings     Settings // settings of the whole house
	SupplyW      float64  // W that the heaters together may draw; 0: no limit
	ObserveOnly  bool     // decide and show everything, switch nothing
	// DrawsInSeries says that cold water runs through all systems one after the
	// other, and the last one feeds the taps; else each feeds some of them.
	DrawsInSeries bool
	// PricePerKWh is what electricity costs, and Prices what it costs in the hours
	// that they name, the last one of several that name the same. The rule that waits
	// for the sun heats by them when it can choose.
	PricePerKWh float64
	Prices      []Price
	Systems     []System // at least one
	Probes      []Probe  // one per reading, in Step's order
	Outputs     []Output // one per decision, in Step's order
}

// House stands in [Probe].System for a probe that belongs to no system.
const House = -1

// Probe is one reading of the plan.
type Probe struct {
	System int // index into Plan.Systems, or House
	Place  Place
}

// Output is one decision of the plan.
type Output struct {
	System   int // index into Plan.Systems
	Actuator Actuator
	// LeastLevel is the lowest level above 0 that the output can be driven at,
	// 0 to 1; 0 says that it can only be on or off.
	LeastLevel float64
}

// Loop says how the fluid between collector and tank moves.
type Loop uint8

// The kinds of loop.
const (
	Pumped  Loop = iota // a pump moves it
	Natural             // natural circulation; there is no pump to switch
)

// System is one collector field with its tank.
type System struct {
	Name     string   // the installer's name for it, unique in the house
	Loop     Loop     // pumped or natural
	Settings Settings // of this system

	// FreezingPointC is the temperature at which the loop's fluid begins to
	// freeze, °C: 0 for water, below for antifreeze.
	FreezingPointC float64
	// WaterFilled says that the loop holds plain water, so that only
	// circulation keeps it from freezing.
	WaterFilled bool
	// Tempered says that a tempering valve guards the taps, so that the tank may
	// be heated for hygiene.
	Tempered bool
	// TankL is the tank's volume in litres; 0 when it is not known.
	TankL float64
	// TankLossWK is what the tank loses to its room, W/K; 0 when it is not known.
	TankLossWK float64
	// HeaterW is the backup heater's rated power, W; 0 when there is none.
	HeaterW float64
	// HeaterHeight, TopProbeHeight and BottomProbeHeight are where heater and tank
	// probes sit, as shares of the tank's height; 0 when they are not known.
	HeaterHeight, TopProbeHeight, BottomProbeHeight float64
	// PumpW is the loop pump's rated power at full speed, W; 0 when it is not known.
	PumpW float64
	// CirculationLMin is the flow of the hot-water circulation while its pump
	// runs, l/min, and CirculationW that pump's rated power, W; 0 when not known.
	CirculationLMin, CirculationW float64
	// Plane is where the collector faces; it tells what a clear day should give.
	Plane physics.Plane
	// ReliefBar is where the loop's relief valve opens, bar; 0 when it is not known.
	ReliefBar float64
	// LoopFluidStore says that the tank holds the loop's own fluid, so that there
	// is no coil between them.
	LoopFluidStore bool
	// LoopHeatJLK is the heat that a litre of the loop's fluid carries per kelvin,
	// J/(l K); 0 stands for water.
	LoopHeatJLK float64
}

const none = -1

// check tells what is wrong with a plan; the site file is where a person
// mends it, so the sentences speak of systems and places.
func (p *Plan) check() error {
	var errs []error
	if len(p.Systems) == 0 {
		errs = append(errs, errors.New("control: a house needs at least one system"))
	}
	names := map[string]bool{}
	for i := range p.Systems {
		s := &p.Systems[i]
		if s.Name == "" || names[s.Name] {
			errs = append(errs, fmt.Errorf("control: system %d needs a name of its own, not %q", i+1, s.Name))
		}
		names[s.Name] = true
	}
	probes := map[Probe]bool{}
	for _, pr := range p.Probes {
		switch {
		case pr.Place >= numPlaces:
			errs = append(errs, fmt.Errorf("control: place %d does not exist", pr.Place))
		case pr.Place.OfHouse() != (pr.System == House) || pr.System < House || pr.System >= len(p.Systems):
			errs = append(errs, fmt.Errorf("control: the %s reading names system %d, which does not fit", pr.Place.Words(), pr.System))
		case probes[pr]:
			errs = append(errs, fmt.Errorf("control: two readings for the %s of system %d", pr.Place.Words(), pr.System))
		}
		probes[pr] = true
	}
	if p.SupplyW < 0 {
		errs = append(errs, fmt.Errorf("control: a supply limit of %g W is impossible", p.SupplyW))
	}
	errs = append(errs, p.checkPrices()...)
	outputs := map[Output]bool{}
	for _, o := range p.Outputs {
		twin := Output{System: o.System, Actuator: o.Actuator}
		switch {
		case o.Actuator >= numActuators:
			errs = append(errs, fmt.Errorf("control: actuator %d does not exist", o.Actuator))
		case o.System < 0 || o.System >= len(p.Systems):
			errs = append(errs, fmt.Errorf("control: the %s names system %d, which does not exist", o.Actuator.Words(), o.System))
		case !(o.LeastLevel >= 0 && o.LeastLevel <= 1):
			errs = append(errs, fmt.Errorf("control: a least level of %g for the %s is not within 0 and 1", o.LeastLevel, o.Actuator.Words()))
		case outputs[twin]:
			errs = append(errs, fmt.Errorf("control: two outputs for the %s of system %d", o.Actuator.Words(), o.System))
		}
		outputs[twin] = true
	}
	if len(errs) == 0 {
		errs = p.checkReach()
	}
	return errors.Join(errs...)
}

// checkReach tells which outputs could never run, for want of a reading.
func (p *Plan) checkReach() (errs []error) {
	for _, o := range p.Outputs {
		name := p.Systems[o.System].Name
		has := func(place Place) bool { return p.probeAt(o.System, place) != none }
		switch {
		case o.Actuator == BackupHeater && !has(TankTop):
			errs = append(errs, fmt.Errorf("control: the backup heater of %q needs a tank top reading", name))
		case o.Actuator == HotWaterCirculation && !has(TankTop):
			errs = append(errs, fmt.Errorf("control: the hot-water circulation of %q needs a tank top reading", name))
		case o.Actuator == HeatDump && (!has(Collector) || p.outputOf(o.System, LoopPump) == none):
			errs = append(errs, fmt.Errorf("control: the heat dump of %q needs a loop pump and a collector reading", name))
		case o.Actuator == LoopPump && (!has(Collector) || !has(TankTop) && !has(TankBottom)):
			errs = append(errs, fmt.Errorf("control: the loop pump of %q needs a collector reading and one of the tank", name))
		}
	}
	return errs
}

// probeAt gives the index of a place's reading, or none.
func (p *Plan) probeAt(system int, place Place) int {
	for i, pr := range p.Probes {
		if pr.System == system && pr.Place == place {
			return i
		}
	}
	return none
}

// outputOf gives the index of an actuator's decision, or none.
func (p *Plan) outputOf(system int, a Actuator) int {
	for i, o := range p.Outputs {
		if o.System == system && o.Actuator == a {
			return i
		}
	}
	return none
}
