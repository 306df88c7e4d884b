package campaign

import (
	"fmt"

	"sunstoker/control"
)

// Doing is what a person does to the controller and then forgets.
type Doing uint8

// The doings.
const (
	Nothing Doing = iota
	HeaterOnByHand
	PumpOnByHand
	PumpOffByHand
	ServiceLeftOn
)

var doingWords = [...]string{
	Nothing:        "nothing",
	HeaterOnByHand: "backup heater set on by hand",
	PumpOnByHand:   "loop pump set on by hand",
	PumpOffByHand:  "loop pump set off by hand",
	ServiceLeftOn:  "service state left on",
}

// String says it in words.
func (d Doing) String() string { return doingWords[d] }

// doPersons lets people begin, or end, what they do in the trial.
func (r *runner) doPersons(begin bool) error {
	for _, s := range r.trial.Faults {
		if err := r.do(s.Person, begin); err != nil {
			return fmt.Errorf("campaign: %s: %w", s.Person, err)
		}
	}
	return nil
}

// do is done to the system that breaks. What is set by hand has ended by itself
// before anybody comes.
func (r *runner) do(d Doing, begin bool) error {
	c := r.run.Controller
	switch d {
	case ServiceLeftOn:
		c.SetServicing(begin)
	case HeaterOnByHand:
		return r.override(control.BackupHeater, 1, begin)
	case PumpOnByHand:
		return r.override(control.LoopPump, 1, begin)
	case PumpOffByHand:
		return r.override(control.LoopPump, 0, begin)
	}
	return nil
}

// override sets an output by hand for as long as the controller lets a person.
func (r *runner) override(a control.Actuator, level float64, begin bool) error {
	h := r.trial.House
	for i, o := range h.site.Plan.Outputs {
		if begin && o.System == h.broken && o.Actuator == a {
			return r.run.Controller.Override(i, level, control.LongestOverride)
		}
	}
	return nil
}
