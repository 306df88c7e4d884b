package planner

import (
	"cmp"
	"slices"
	"time"

	"sunstoker/control"
)

// Trip is a heater's cut-out that has opened. Nobody resets it in a simulation,
// so the heater stays dead from then on; with two trips of one system a fault
// has bridged it in between.
type Trip struct {
	System int
	At     time.Time // to the minute, house time
}

// Reported is how long the controller has reported a kind of finding.
type Reported struct {
	Kind  control.FindingKind
	For   time.Duration // all spells together, of any system
	Times int           // spells
	First time.Time     // house time
}

// troubles gathers what went wrong in a run.
type troubles struct {
	zone  *time.Location
	trips []Trip
	known []int // trips of each system so far
	kinds []spell
}

// spell is the memory of one kind of finding.
type spell struct {
	Reported
	lastStep int // in which it was seen, counted from 1
}

func newTroubles(r *Run) *troubles {
	return &troubles{zone: r.site.Zone, known: make([]int, r.House.Systems()), kinds: make([]spell, len(control.FindingKinds()))}
}

// hear adds the findings of a step.
func (t *troubles) hear(r *Run, findings []control.Finding, step int) {
	for i := range findings {
		s := &t.kinds[findings[i].Kind]
		if s.lastStep == step { // another one of that kind
			continue
		}
		if s.Times == 0 {
			s.Kind, s.First = findings[i].Kind, r.House.Now().In(t.zone)
		}
		if s.Times == 0 || s.lastStep != step-1 {
			s.Times++
		}
		s.For += r.step
		s.lastStep = step
	}
}

// look notes cut-outs that have opened since the last look.
func (t *troubles) look(r *Run) {
	for i := range t.known {
		for trips := r.House.Tally(i).CutOutTrips; t.known[i] < trips; t.known[i]++ {
			t.trips = append(t.trips, Trip{System: i, At: r.House.Now().In(t.zone)})
		}
	}
}

// reported are the kinds that were reported, the most urgent first.
func (t *troubles) reported() []Reported {
	var out []Reported
	for _, s := range t.kinds {
		if s.Times > 0 {
			out = append(out, s.Reported)
		}
	}
	slices.SortStableFunc(out, func(a, b Reported) int {
		return cmp.Or(cmp.Compare(b.Kind.Urgency(), a.Kind.Urgency()), cmp.Compare(b.For, a.For))
	})
	return out
}
