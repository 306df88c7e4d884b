package history

import (
	"math"
	"slices"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// Kind is a kind of event. The numbers are those of the file and never change.
type Kind uint8

// The kinds of event.
const (
	Decided       Kind = 1 // an output was decided on anew: on or off, or for another reason
	Raised        Kind = 2 // a finding
	Cleared       Kind = 3 // a finding is no longer found
	OverrideSet   Kind = 4 // a person has set an output by hand
	OverrideEnded Kind = 5
	Started       Kind = 6 // the program
	Stopped       Kind = 7 // the program, in good order
	Missed        Kind = 8 // figures or events did not get into the history; Values[0] tells how many
)

var kindNames = map[Kind]string{
	Decided: "decision", Raised: "finding raised", Cleared: "finding cleared",
	OverrideSet: "override set", OverrideEnded: "override ended",
	Started: "program started", Stopped: "program stopped", Missed: "missed",
}

// String is the kind in words.
func (k Kind) String() string {
	if name, known := kindNames[k]; known {
		return name
	}
	return "unknown"
}

// Event is something that happened.
type Event struct {
	Time   time.Time // UTC
	Sure   bool      // the clock was trusted
	Kind   Kind
	System string  // empty for the house
	Part   string  // place or actuator: "tank_top"; may be empty
	Level  float64 // of a decision or override, 0 to 1
	Rank   string  // of a decision's winning vote, in words
	What   Name    // the kind of a finding, what was missed, or the program's version
	Says   Name    // the reason of a decision, the evidence of a finding; its words have their figures open
	Values [3]float64
	Detail string // a driver's or the board's own words, may be empty
}

// Name is a name for programs with its words for people.
type Name struct{ Key, Words string }

// Text is the event's reason or evidence with its figures filled in, in the words
// of the program that wrote it.
func (e *Event) Text() string {
	if e.Says.Words == "" {
		return e.What.Words
	}
	return control.Fill(e.Says.Words, e.Values)
}

func saysOf(r control.Reason) Name { return Name{r.Words.Key(), r.Words.Template()} }

// What can be missed.
var (
	missedTicks   = Name{"ticks", "turns of the program that did not reach the history"}
	missedMinutes = Name{"minutes", "minutes that could not be written"}
	missedEvents  = Name{"events", "events beyond what is kept of a minute"}
)

// watcher notices what changes from tick to tick.
type watcher struct {
	outputs  []outputSeen
	findings []findingSeen
}

// outputSeen is the last decision of an output that became an event.
type outputSeen struct {
	known, on bool
	rank      control.Rank
	says      control.Words
	at        time.Duration // instant of it

	byHand bool
	level  float64 // of the override
}

// reasonPause is how long an output's reason must be old before another one, with
// the same result, is an event: at a border of two reasons they could take turns
// every second.
const reasonPause = 30 * time.Second

type findingSeen struct {
	kind     control.FindingKind
	system   int
	about    control.About
	place    control.Place
	actuator control.Actuator
}

func seenOf(f *control.Finding) findingSeen {
	return findingSeen{f.Kind, f.System, f.About, f.Place, f.Actuator}
}

// look gives what is new in a tick.
func (w *watcher) look(t *tick.Tick, add func(Event)) {
	plan := t.House.Plan
	if len(w.outputs) != len(t.Outputs) {
		w.outputs = make([]outputSeen, len(t.Outputs))
	}
	for i := range t.Outputs[:min(len(t.Outputs), len(plan.Outputs))] {
		o := plan.Outputs[i]
		w.outputs[i].look(&t.Outputs[i], t.At, systemName(plan, o.System), o.Actuator.String(), add)
	}
	w.lookAtFindings(t, add)
}

func (s *outputSeen) look(o *tick.Output, at time.Duration, system, part string, add func(Event)) {
	switch byHand := o.Override.Left > 0; {
	case byHand && !(s.byHand && s.level == o.Override.Level):
		s.byHand, s.level = true, o.Override.Level
		add(Event{Kind: OverrideSet, System: system, Part: part, Level: s.level, Says: overrideLength, Values: [3]float64{o.Override.Left.Seconds()}})
	case !byHand && s.byHand:
		s.byHand = false
		add(Event{Kind: OverrideEnded, System: system, Part: part, Level: s.level})
	}
	on, says := o.Level > 0, o.Reason.Words
	if s.known && s.on == on && s.rank == o.Rank && (s.says == says || at-s.at < reasonPause) {
		return
	}
	s.known, s.on, s.rank, s.says, s.at = true, on, o.Rank, says, at
	add(Event{Kind: Decided, System: system, Part: part, Level: o.Level, Rank: o.Rank.String(), Says: saysOf(o.Reason), Values: o.Reason.Values})
}

var overrideLength = Name{"override_length", "set by hand for {0 time}"}

func (w *watcher) lookAtFindings(t *tick.Tick, add func(Event)) {
	for i := range t.Findings {
		f := &t.Findings[i]
		if k := seenOf(f); !slices.Contains(w.findings, k) {
			w.findings = append(w.findings, k)
			e := k.event(t.House.Plan, Raised)
			e.Says, e.Values, e.Detail = saysOf(f.Evidence), f.Evidence.Values, f.Detail
			add(e)
		}
	}
	w.findings = slices.DeleteFunc(w.findings, func(k findingSeen) bool {
		if slices.ContainsFunc(t.Findings, func(f control.Finding) bool { return seenOf(&f) == k }) {
			return false
		}
		add(k.event(t.House.Plan, Cleared))
		return true
	})
}

func (k findingSeen) event(plan *control.Plan, kind Kind) Event {
	e := Event{Kind: kind, System: systemName(plan, k.system), What: Name{k.kind.String(), k.kind.Title()}}
	switch k.about {
	case control.AboutProbe:
		e.Part = k.place.String()
	case control.AboutOutput:
		e.Part = k.actuator.String()
	}
	return e
}

// valueSteps is what the figures of an event are kept in.
const valueSteps = 100

func packedValue(v float64) int64 { return steps(v, &Series{Steps: valueSteps}) }

func levelSteps(v float64) int64 {
	if math.IsNaN(v) {
		return 0
	}
	return int64(math.Round(min(max(v, 0), 1) * shareSteps))
}
