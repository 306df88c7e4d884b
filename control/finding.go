package control

import (
	"cmp"
	"slices"
	"time"
)

// Urgency says how soon somebody should act on a finding.
type Urgency uint8

// The urgencies.
const (
	Information Urgency = iota // good to know
	Soon                       // have it looked at in the next days
	AtOnce                     // people or plant are at risk
)

var urgencyWords = [...]string{"information", "soon", "at once"}

// String is the urgency in words.
func (u Urgency) String() string {
	if int(u) < len(urgencyWords) {
		return urgencyWords[u]
	}
	return "unknown"
}

// Finding is something that is wrong, in plain words.
type Finding struct {
	Kind     FindingKind
	System   int // index into Plan.Systems, or House
	Place    Place
	HasPlace bool          // the finding is about the probe at Place
	Evidence Reason        // what was seen, with figures
	For      time.Duration // how long it has been known, in service time
}

// FindingState is a finding's memory as it is saved.
type FindingState struct {
	Kind     string        `json:"kind"`
	System   string        `json:"system"`
	Place    string        `json:"place"`
	Raised   bool          `json:"raised"`
	Seen     time.Duration `json:"seen_ns"`
	Quiet    time.Duration `json:"quiet_ns"`
	For      time.Duration `json:"for_ns"`
	Evidence Reason        `json:"evidence"`
}

// findingSlot is the memory of one possible finding.
type findingSlot struct {
	raised   bool
	seen     time.Duration // seen without a break
	quiet    time.Duration // not seen without a break
	known    time.Duration // since it was raised
	evidence Reason
}

// findings holds a slot for every finding that can be: kind, system or house,
// place.
type findings struct {
	slots  []findingSlot
	raised int
}

func newFindings(p *Plan) findings {
	return findings{slots: make([]findingSlot, int(numFindingKinds)*(len(p.Systems)+1)*int(numPlaces))}
}

func (f *findings) index(p *Plan, kind FindingKind, system int, place Place) int {
	return (int(kind)*(len(p.Systems)+1)+system+1)*int(numPlaces) + int(place)
}

// note tells that a finding's sign is or is not seen in this step. It is
// raised when it was seen for a while, and cleared when it was not seen for a
// while, so that it does not flap.
func (f *findings) note(at int, kind FindingKind, seen bool, evidence Reason, elapsed time.Duration) {
	s := &f.slots[at]
	if !seen && !s.raised {
		s.seen = 0
		return
	}
	row := &findingTable[kind]
	if s.raised {
		s.known += elapsed
	}
	if seen {
		s.seen += elapsed
		s.quiet = 0
		s.evidence = evidence
		if !s.raised && s.seen >= row.raiseAfter {
			s.raised, s.known = true, 0
			f.raised++
		}
		return
	}
	s.quiet += elapsed
	if s.quiet >= row.clearAfter {
		*s = findingSlot{}
		f.raised--
	}
}

// list appends what is raised now, most urgent first.
func (f *findings) list(into []Finding, p *Plan) []Finding {
	if f.raised == 0 {
		return into
	}
	for i := range f.slots {
		if s := &f.slots[i]; s.raised {
			kind, system, place := f.at(i, p)
			into = append(into, Finding{
				Kind: kind, System: system, Place: place, HasPlace: findingTable[kind].ofProbe,
				Evidence: s.evidence, For: s.known,
			})
		}
	}
	slices.SortStableFunc(into, func(a, b Finding) int {
		return cmp.Compare(b.Kind.Urgency(), a.Kind.Urgency())
	})
	return into
}

func (f *findings) at(i int, p *Plan) (FindingKind, int, Place) {
	place := i % int(numPlaces)
	i /= int(numPlaces)
	return FindingKind(i / (len(p.Systems) + 1)), i%(len(p.Systems)+1) - 1, Place(place)
}

func (f *findings) save(into []FindingState, p *Plan) []FindingState {
	for i := range f.slots {
		s := &f.slots[i]
		if !s.raised && s.seen == 0 {
			continue
		}
		kind, system, place := f.at(i, p)
		into = append(into, FindingState{
			Kind: kind.String(), System: p.systemName(system), Place: place.String(),
			Raised: s.raised, Seen: s.seen, Quiet: s.quiet, For: s.known, Evidence: s.evidence,
		})
	}
	return into
}

// restore takes saved findings; those of kinds, systems or places that are no
// more are dropped.
func (f *findings) restore(saved []FindingState, p *Plan) {
	*f = newFindings(p)
	for i := range f.slots {
		kind, system, place := f.at(i, p)
		for k := range saved {
			s := &saved[k]
			if s.Kind != kind.String() || s.System != p.systemName(system) || s.Place != place.String() {
				continue
			}
			f.slots[i] = findingSlot{raised: s.Raised, seen: s.Seen, quiet: s.Quiet, known: s.For, evidence: s.Evidence}
			if s.Raised {
				f.raised++
			}
		}
	}
}
