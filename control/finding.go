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
	System   int           // index into Plan.Systems, or House
	About    About         // what Place or Actuator the finding is about, if any
	Place    Place         // set when About is AboutProbe
	Actuator Actuator      // set when About is AboutOutput
	Evidence Reason        // what was seen, with figures
	Detail   string        // a driver's or the board's own words, may be empty
	For      time.Duration // how long it has been known, in service time

	hidden bool // a consequence of another one
}

// About says what a finding is about.
type About uint8

// What a finding can be about.
const (
	AboutSystem About = iota // a system, or the house
	AboutProbe               // one probe
	AboutOutput              // one output
)

// FindingState is a finding's memory as it is saved.
type FindingState struct {
	Kind     string        `json:"kind"`
	System   string        `json:"system"`
	Part     string        `json:"part"`
	Raised   bool          `json:"raised"`
	Seen     time.Duration `json:"seen_ns"`
	Quiet    time.Duration `json:"quiet_ns"`
	For      time.Duration `json:"for_ns"`
	Evidence Reason        `json:"evidence"`
	Detail   string        `json:"detail,omitempty"`
}

// findingSlot is the memory of one possible finding.
type findingSlot struct {
	active   bool // seen lately, or raised
	raised   bool
	seen     time.Duration // seen, in all since it was last quiet
	quiet    time.Duration // not seen, since it was last seen
	known    time.Duration // since it was raised
	evidence Reason
	detail   string
}

// findings holds a slot for every finding that can be: kind, system or house,
// and place or actuator.
type findings struct {
	slots []findingSlot
	live  []int // the active ones, in the order they became so
}

func newFindings(p *Plan) findings {
	n := int(numFindingKinds) * (len(p.Systems) + 1) * numParts
	return findings{slots: make([]findingSlot, n), live: make([]int, 0, n)}
}

// numParts is how many parts of a system a kind of finding can be about.
const numParts = int(max(numPlaces, Place(numActuators)))

// index gives a finding's slot; part is its place or actuator, or 0.
func (f *findings) index(p *Plan, kind FindingKind, system, part int) int {
	return (int(kind)*(len(p.Systems)+1)+system+1)*numParts + part
}

// sign tells that a finding's sign is or is not seen in this step. A finding is
// raised when its sign was seen for a while, and cleared when it was not seen
// for a while, so that it does not flap. When the sign is seen, the slot is
// given back for its evidence.
func (f *findings) sign(at int, kind FindingKind, seen bool, elapsed time.Duration) *findingSlot {
	s := &f.slots[at]
	if !seen && !s.active {
		return nil
	}
	return f.follow(at, &findingTable[kind], seen, elapsed)
}

func (f *findings) follow(at int, row *findingRow, seen bool, elapsed time.Duration) *findingSlot {
	s := &f.slots[at]
	if !s.active {
		s.active = true
		f.live = append(f.live, at)
	}
	if s.raised {
		s.known += elapsed
	}
	if seen {
		s.seen += elapsed
		s.quiet = 0
		s.raised = s.raised || s.seen >= row.raiseAfter
		return s
	}
	s.quiet += elapsed
	if !s.raised || s.quiet >= row.clearAfter {
		*s = findingSlot{}
		f.live = slices.DeleteFunc(f.live, func(i int) bool { return i == at })
	}
	return nil
}

// drop forgets every finding of a kind, of all systems and parts.
func (f *findings) drop(p *Plan, kind FindingKind) {
	f.live = slices.DeleteFunc(f.live, func(at int) bool {
		is, _, _ := f.at(at, p)
		if is == kind {
			f.slots[at] = findingSlot{}
		}
		return is == kind
	})
}

// list appends what is raised now, most urgent first.
func (f *findings) list(into []Finding, p *Plan) []Finding {
	for _, i := range f.live {
		if s := &f.slots[i]; s.raised {
			kind, system, part := f.at(i, p)
			found := Finding{
				Kind: kind, System: system, About: findingTable[kind].about,
				Evidence: s.evidence, Detail: s.detail, For: s.known,
			}
			switch found.About {
			case AboutProbe:
				found.Place = Place(part)
			case AboutOutput:
				found.Actuator = Actuator(part)
			}
			into = append(into, found)
		}
	}
	if len(into) > 1 {
		into = withoutConsequences(into)
		slices.SortFunc(into, func(a, b Finding) int {
			return cmp.Or(cmp.Compare(b.Kind.Urgency(), a.Kind.Urgency()), cmp.Compare(a.Kind, b.Kind),
				cmp.Compare(a.System, b.System), cmp.Compare(a.Place, b.Place), cmp.Compare(a.Actuator, b.Actuator))
		})
	}
	return into
}

func (f *findings) at(i int, p *Plan) (kind FindingKind, system, part int) {
	part = i % numParts
	i /= numParts
	return FindingKind(i / (len(p.Systems) + 1)), i%(len(p.Systems)+1) - 1, part
}

// partName names a part of a system in a saved state.
func partName(kind FindingKind, part int) string {
	switch findingTable[kind].about {
	case AboutProbe:
		return Place(part).String()
	case AboutOutput:
		return Actuator(part).String()
	}
	return ""
}

func (f *findings) save(into []FindingState, p *Plan) []FindingState {
	for i := range f.slots {
		s := &f.slots[i]
		if !s.active {
			continue
		}
		kind, system, part := f.at(i, p)
		into = append(into, FindingState{
			Kind: kind.String(), System: p.systemName(system), Part: partName(kind, part),
			Raised: s.raised, Seen: s.seen, Quiet: s.quiet, For: s.known, Evidence: s.evidence, Detail: s.detail,
		})
	}
	return into
}

// restore takes saved findings; those of kinds, systems or places that are no
// more are dropped.
func (f *findings) restore(saved []FindingState, p *Plan) {
	*f = newFindings(p)
	for i := range f.slots {
		kind, system, part := f.at(i, p)
		if findingTable[kind].about == AboutSystem && part != 0 {
			continue
		}
		for k := range saved {
			s := &saved[k]
			if s.Kind != kind.String() || s.System != p.systemName(system) || s.Part != partName(kind, part) {
				continue
			}
			f.slots[i] = findingSlot{active: true, raised: s.Raised, seen: s.Seen, quiet: s.Quiet, known: s.For, evidence: s.Evidence, detail: s.Detail}
			f.live = append(f.live, i)
		}
	}
}
