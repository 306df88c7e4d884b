package campaign

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/planner"
	"sunstoker/sim"
	"sunstoker/sim/plant"
)

// A run begins at midnight with a healthy day; the fault strikes on the second
// day, lasts two days unless its row says otherwise, is repaired, and the house
// has two more days to come back to normal. On the second of them a person who
// reads that a finding takes their word gives it.
const (
	healthy   = day
	usualLast = 2 * day
	after     = 2 * day
	wordAfter = day
)

// Trial is one run: a house in a scene with some faults, and with some parts
// taken away.
type Trial struct {
	House   *House
	Scene   *Scene
	Faults  []Switch
	Without []Hardware
	Step    time.Duration
	Lasts   time.Duration // how long the faults are there
}

// newTrial makes the trial of one switch.
func newTrial(h *House, sc *Scene, faults ...Switch) Trial {
	t := Trial{House: h, Scene: sc, Faults: faults, Step: usualStep}
	for _, f := range faults {
		if f.Step > 0 {
			t.Step = min(t.Step, f.Step)
		}
		t.Lasts = max(t.Lasts, f.lasts())
	}
	return t
}

// lasts is how long a switch is on: of two that strike at once each for its time.
func (s Switch) lasts() time.Duration { return cmp.Or(s.Lasts, usualLast) }

func (t *Trial) strikes() time.Duration  { return max(healthy, t.Scene.learns) + t.Scene.strike }
func (t *Trial) repaired() time.Duration { return t.strikes() + t.Lasts }
func (t *Trial) ends() time.Duration     { return t.repaired() + after }

// span is when a finding stood.
type span struct {
	kind     control.FindingKind
	from, to time.Duration
	text     string // what was seen
}

// Record is what came of a trial.
type Record struct {
	Harm                           Harm
	startsAfter                    int                // most of one output in an hour, from an hour after the repair on
	spans                          []span             // in the order they began
	reasons                        [256]time.Duration // when a decision first gave each reason; 0: never
	first                          [256]string        // the sentence it gave
	trace                          trace
	cutOut, tankRelief, loopRelief bool                  // which of them opened after the strike
	words                          []control.FindingKind // findings that a person's word has ended
}

// plan works out the house's configuration and the simulator's faults. ok is
// false when one of the faults means nothing in this house.
func (t *Trial) plan() (config sim.Config, ok bool, err error) {
	if config, err = t.Scene.config(t.House, t.Step); err != nil {
		return config, false, err
	}
	for _, f := range t.Faults {
		faults, fits := t.House.faults(f, &config, t.strikes(), f.lasts())
		if !fits {
			return config, false, nil
		}
		config.Faults = append(config.Faults, faults...)
	}
	for i := range config.Systems {
		take(&config.Systems[i].Plant, t.Without)
	}
	// A part that was taken away protects no more than one that is broken.
	config.Faults = slices.DeleteFunc(config.Faults, func(f sim.Fault) bool {
		return len(t.Without) > 0 && !happensTo(&config.Systems[f.System].Plant, f.Name)
	})
	return config, true, nil
}

// happensTo tells whether a plant has what a kind of fault breaks; true for one
// that there is not.
func happensTo(p *plant.Config, kind string) bool {
	for _, k := range sim.FaultKinds() {
		if k.Name == kind {
			return k.HappensTo(p)
		}
	}
	return true
}

// faults are the simulator's faults for a switch.
func (h *House) faults(s Switch, config *sim.Config, start, lasts time.Duration) ([]sim.Fault, bool) {
	system, ok := h.systemFor(s.Needs, config)
	if !ok {
		return nil, false
	}
	if s.Person != Nothing {
		return nil, true
	}
	f := sim.Fault{Name: s.Kind, Start: start, Duration: lasts, Amount: s.Amount, System: system}
	if s.Place != "" {
		f.System, f.Probe = 0, h.probeName(system, s.Place)
		if f.Probe == "" {
			return nil, false
		}
	}
	if f.Probe == "" && !happensTo(&config.Systems[system].Plant, f.Name) {
		return nil, false // this house has nothing of the kind
	}
	if s.Other != "" {
		if f.Other = h.probeName(system, s.Other); f.Other == "" {
			return nil, false
		}
	}
	all := []sim.Fault{f}
	for _, w := range s.With {
		more, fits := h.faults(w, config, start, lasts)
		if !fits {
			return nil, false
		}
		all = append(all, more...)
	}
	return all, true
}

// Run runs a trial; ok is false when its faults mean nothing in its house.
func (t Trial) Run() (rec *Record, ok bool, err error) {
	config, ok, err := t.plan()
	if err != nil || !ok {
		return nil, false, err
	}
	run, err := planner.RunIn(t.House.site, config)
	if err != nil {
		return nil, false, fmt.Errorf("campaign: %s: %w", t.House.Name, err)
	}
	if t.Scene.away > 0 {
		if err := run.Controller.Holiday(t.Scene.away); err != nil {
			return nil, false, err
		}
	}
	r := runner{trial: t, run: run, rec: &Record{}}
	r.watch = newWatch(run, &t.House.site.Plan, t.Step)
	for i := range t.House.site.Systems {
		r.probes = append(r.probes, run.House.TankTruth(i, 0.9), run.House.TankTruth(i, 0.15))
	}
	if err := r.play(); err != nil {
		return nil, false, err
	}
	r.rec.Harm, r.rec.startsAfter = r.watch.harm, r.watch.after
	return r.rec, true, nil
}
