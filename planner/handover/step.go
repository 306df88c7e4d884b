package handover

import (
	"fmt"
	"slices"
	"strings"

	"sunstoker/control"
	"sunstoker/site"
)

// Form is what a step wants for an answer.
type Form uint8

// The forms.
const (
	Confirm Form = iota // "yes", or "no because …"
	Measure             // a figure with its unit
	Text                // any words
	Date                // such as 2026-05-01
	Photos              // names of files
	Sign                // the installer's name once more
	Warm                // "now": a probe is warmed in the hand while the program looks on
	Switch              // what was seen while the program held an output on: "right", "nothing", "inverted" or "other …"
	Move                // "now": the program runs the pump and looks for heat that moves
	Heat                // "now": the program runs the heater and looks for the tank to get warmer
)

// Live tells of a form for which the program needs the plant itself.
func (f Form) Live() bool { return f >= Warm }

// Step is one thing to look at, to try or to write down.
type Step struct {
	Key   string // its name, in words, that no other step of the site has
	Group string // heading that it stands under
	Form  Form
	Do    string // what to do, the danger first
	Ask   string // the question

	System int // index, or control.House
	Probe  int // index of the site's probes; -1 when it is about none
	Output int // index of the site's outputs; -1 when it is about none

	Units []control.Unit // that a measured figure may be in
	// About is what an answer holds for. When the site file says something else
	// later, the answer no longer counts. Empty for what no file says.
	About string
	// Grave: when the answer is no, the plant must not run by itself.
	Grave bool
	// Needs are steps that must be in order before this one is tried.
	Needs []string

	judge func(*Record, figure) (Outcome, string)
}

// figure is a measured value with the unit it was given in.
type figure struct {
	value float64
	unit  control.Unit
}

// The headings.
const (
	groupPeople = "People"
	groupBefore = "Before anything is switched"
	groupProbes = "Probes"
	groupSwitch = "Outputs, each alone"
	groupParts  = "Parts that keep people safe without the program"
	groupFluid  = "Fluid and pressure"
	groupWork   = "Does it work"
	groupLeave  = "What stays with the owner"
)

// Keys of steps that others ask for.
const (
	installerKey  = "installer"
	ownerKey      = "owner"
	dateKey       = "date"
	serviceKey    = "next service"
	antifreezeKey = "antifreeze"
	photosKey     = "photos"
	remarksKey    = "remarks"
	SignKey       = "signature"
)

// Steps gives the steps of a site in the order in which they are safely done.
func Steps(s *site.Site) []Step {
	l := &list{site: s}
	l.people()
	l.mains()
	for i := range s.Systems {
		l.before(i)
	}
	l.probes()
	l.outputs()
	for i := range s.Systems {
		l.safety(i)
		l.fluid(i)
		l.work(i)
	}
	l.leave()
	return l.steps
}

// list gathers the steps of a site.
type list struct {
	site  *site.Site
	steps []Step
}

// add takes up a step of a system, or of the house, about no probe or output.
func (l *list) add(system int, s Step) {
	s.System, s.Probe, s.Output = system, -1, -1
	s.Key = l.key(system, s.Key)
	l.steps = append(l.steps, s)
}

// key names a step, after its system's name where there are several.
func (l *list) key(system int, name string) string {
	if system == control.House || len(l.site.Systems) == 1 {
		return name
	}
	return l.site.Systems[system].Name + " " + name
}

// has tells whether a system has an output.
func (l *list) has(system int, a control.Actuator) bool {
	return slices.ContainsFunc(l.site.Outputs, func(o site.OutputWiring) bool { return o.System == system && o.Actuator == a })
}

// hasAny tells whether any system has an output.
func (l *list) hasAny(a control.Actuator) bool {
	return slices.ContainsFunc(l.site.Outputs, func(o site.OutputWiring) bool { return o.Actuator == a })
}

// Named gives the step of a key.
func Named(steps []Step, key string) (*Step, bool) {
	i := slices.IndexFunc(steps, func(s Step) bool { return s.Key == key })
	if i < 0 {
		return nil, false
	}
	return &steps[i], true
}

// Bars says why the daemon must not run a site by itself yet, one reason each; none
// when it may. Every real output must have been switched alone and seen to be the
// right one, in the wiring that the site file has now, and nobody may have said that a
// part is missing that keeps people safe.
func (r *Record) Bars(s *site.Site) (why []string) {
	for _, step := range Steps(s) {
		switch {
		case step.Form == Switch && s.Outputs[step.Output].Kind != site.SimulatedOutput:
			if words := r.untested(&step); words != "" {
				why = append(why, words)
			}
		case step.Grave && r.Of(&step).Outcome == Fault:
			why = append(why, fmt.Sprintf("%s: %s", step.Key, strings.TrimSpace(r.Of(&step).Said)))
		}
	}
	return why
}

// untested says why an output counts as not tested, empty when it was.
func (r *Record) untested(step *Step) string {
	switch a := r.Of(step); {
	case r != nil && r.Simulated:
		return step.Key + ": tried on a simulated plant alone"
	case r.Outdated(step):
		return step.Key + ": its wiring in the site file has changed since it was tested"
	case a.Outcome == Done:
		return ""
	case a.Outcome == Unanswered:
		return step.Key + ": not tested yet"
	default:
		return fmt.Sprintf("%s: %s", step.Key, a.Outcome)
	}
}
