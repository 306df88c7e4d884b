package planner

import (
	"fmt"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/sim"
	"sunstoker/sim/plant"
	"sunstoker/sim/weather"
	"sunstoker/site"
	"sunstoker/site/twin"
)

// LongestStep is the longest step of a run. The controller believes a reading
// after a few of them, and minimum run times must not be overrun by much.
const LongestStep = 30 * time.Second

// Run is a simulated house and its real controller, stepped together on one
// clock. It is deterministic and not safe for use by several goroutines.
type Run struct {
	House      *sim.House
	Controller *control.Controller

	site     *site.Site
	plants   []plant.Config // of the systems
	step     time.Duration
	months   int
	probes   []*sim.Probe
	dark     time.Duration // how long the mains have been cut, up to the last step
	readings []control.Reading
	outputs  []control.Output
	areasM2  []float64        // collector area of each system
	topsC    []func() float64 // of each system's tank
}

// RunOptions are what a site file does not say about a run.
type RunOptions struct {
	Weather weather.Source
	Start   time.Time
	Step    time.Duration // 1 s to LongestStep; zero for 10 s
	Months  int           // length, 1 to 12; zero for 12
	Seed    uint64
	Faults  []sim.Fault
}

// NewRun builds the house of a site and the controller for it.
func NewRun(s *site.Site, o RunOptions) (*Run, error) {
	if o.Step == 0 {
		o.Step = 10 * time.Second
	}
	if o.Step < time.Second || o.Step > LongestStep {
		return nil, fmt.Errorf("a step of %v is not possible; give 1s to %v", o.Step, LongestStep)
	}
	config, err := twin.Config(s, twin.Options{Weather: o.Weather, Start: o.Start, Step: o.Step, Seed: o.Seed})
	if err != nil {
		return nil, err
	}
	config.Faults = o.Faults
	if o.Months == 0 {
		o.Months = 12
	}
	if o.Months < 1 || o.Months > 12 {
		return nil, fmt.Errorf("a run of %d months is not possible; give 1 to 12", o.Months)
	}
	return newRun(s, config, o.Months)
}

// RunIn is NewRun in a house of one's own that has the site's systems and
// probes: in other weather, with other people, or with a part taken away.
func RunIn(s *site.Site, house sim.Config) (*Run, error) { return newRun(s, house, 1) }

// newRun is NewRun with a house of one's own that has the site's systems and
// probes.
func newRun(s *site.Site, config sim.Config, months int) (*Run, error) {
	var err error
	r := &Run{site: s, step: config.StepSize, months: months, readings: make([]control.Reading, len(s.Plan.Probes)), outputs: s.Plan.Outputs}
	if r.House, err = sim.New(config); err != nil {
		return nil, err
	}
	if r.Controller, err = control.New(s.Plan); err != nil {
		return nil, err
	}
	for i := range s.Systems {
		r.plants = append(r.plants, config.Systems[i].Plant)
		r.areasM2 = append(r.areasM2, s.Systems[i].Collector.AreaM2)
		r.topsC = append(r.topsC, r.House.TankTruth(i, 1))
		if s.Systems[i].HotWaterLine.Circulation && !drives(r.outputs, i, control.HotWaterCirculation) {
			r.House.SetCirculation(i, true) // by a switch of its own, all day
		}
	}
	for i := range s.Plan.Probes {
		p, err := r.House.Probe(twin.ProbeName(s, i))
		if err != nil {
			return nil, err
		}
		r.probes = append(r.probes, p)
	}
	return r, nil
}

// drives tells whether a system has an output for an actuator.
func drives(outputs []control.Output, system int, a control.Actuator) bool {
	return slices.ContainsFunc(outputs, func(o control.Output) bool { return o.System == system && o.Actuator == a })
}

// Step reads the probes, lets the controller decide, drives the plant and
// moves it on. The outcome is valid until the next step; while the mains are
// cut there is none, the board being dark, and the controller starts anew after.
func (r *Run) Step() *control.Outcome {
	if !r.House.MainsOn() {
		r.goDark()
		r.House.Step(r.step)
		return nil
	}
	if r.dark > 0 {
		r.Controller.Restarted()
		r.Controller.WasAway(r.dark)
		r.dark = 0
	}
	now := r.House.Elapsed()
	for i, p := range r.probes {
		reading := &r.readings[i]
		value, ok := p.Read(now)
		reading.Value = value
		switch {
		case !ok:
			reading.Fault = "the probe gives no value"
		case reading.Fault != "":
			reading.Fault = ""
		}
	}
	wall, trusted := r.House.Clock()
	out := r.Controller.Step(r.step, control.Wall{Time: wall, Trusted: trusted}, r.readings)
	for i, o := range r.outputs {
		twin.Drive(r.House, o, out.Decisions[i].Level)
	}
	r.House.Step(r.step)
	return out
}

// goDark is a step of the board without power: its lines fall, so that nothing
// runs when the mains come back until the controller says so.
func (r *Run) goDark() {
	if r.dark == 0 {
		for _, o := range r.outputs {
			twin.Drive(r.House, o, 0)
		}
	}
	r.dark += r.step
}
