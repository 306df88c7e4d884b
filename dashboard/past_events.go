package dashboard

import (
	"context"
	"strings"
	"time"

	"sunstoker/history"
)

// EventShown is something that happened.
type EventShown struct {
	Time       time.Time `json:"time"` // civil time of the house
	Sure       bool      `json:"sure"` // the clock was trusted
	Kind       string    `json:"kind"` // "decision", "finding_raised", "override_set" …
	System     string    `json:"system"`
	Part       string    `json:"part"`       // place or actuator, may be empty
	PartWords  string    `json:"part_words"` // the same for people
	LevelRatio float64   `json:"level_ratio"`
	Rank       string    `json:"rank"`       // of a decision's winning vote
	What       string    `json:"what"`       // the kind of a finding, what was missed, or the program's version
	WhatWords  string    `json:"what_words"` // the same for people, may be empty
	Reason     string    `json:"reason"`     // name of the reason of a decision or the evidence of a finding
	Text       string    `json:"text"`       // the same for people, with its figures
	Detail     string    `json:"detail"`     // a driver's or the board's own words
}

// EventsShown is a list of events, the oldest first.
type EventsShown struct {
	Trouble string       `json:"trouble"` // why nothing is written now; empty when all is well
	Events  []EventShown `json:"events"`
	More    bool         `json:"more"` // there are more: ask on from the time of the last one
}

// eventKinds are the kinds of event that can be asked for.
var eventKinds = []history.Kind{
	history.Decided, history.Raised, history.Cleared, history.OverrideSet, history.OverrideEnded,
	history.Started, history.Stopped, history.Missed,
}

func eventKindName(k history.Kind) string { return strings.ReplaceAll(k.String(), " ", "_") }

func eventOf(e *history.Event, zone *time.Location) EventShown {
	return EventShown{
		Time: e.Time.In(zone), Sure: e.Sure, Kind: eventKindName(e.Kind), System: e.System, Part: e.Part, PartWords: partWords(e.Part),
		LevelRatio: finite(e.Level), Rank: rankNamed(e.Rank), What: e.What.Key, WhatWords: e.What.Words,
		Reason: e.Says.Key, Text: e.Text(), Detail: e.Detail,
	}
}

func eventsOf(list []history.Event, zone *time.Location) []EventShown {
	shown := []EventShown{}
	for i := range list {
		shown = append(shown, eventOf(&list[i], zone))
	}
	return shown
}

// Bounds of lists of what happened.
const (
	usualEvents   = 200
	mostEvents    = 1000
	mostEventDays = 400 // a year and some, in which a house makes some ten thousand events
)

func readEvents(ctx context.Context, q *question) (any, error) {
	if err := q.query.only([]string{"from", "to", "most"}, "kind"); err != nil {
		return nil, err
	}
	from, to, err := q.query.between(mostEventDays)
	if err != nil {
		return nil, err
	}
	most, err := q.query.whole("most", usualEvents, 1, mostEvents)
	if err != nil {
		return nil, err
	}
	kinds, err := q.kinds()
	if err != nil {
		return nil, err
	}
	shown := EventsShown{Trouble: q.trouble, Events: []EventShown{}}
	err = q.history.Events(ctx, history.WantedEvents{From: from, To: to, Kinds: kinds, Most: most + 1}, func(e *history.Event) error {
		if len(shown.Events) == most {
			shown.More = true
			return nil
		}
		shown.Events = append(shown.Events, eventOf(e, q.zone))
		return nil
	})
	return shown, err
}

// kinds are the kinds of event that are asked for; none stands for all.
func (q *question) kinds() ([]history.Kind, error) {
	asked, err := q.query.several("kind", len(eventKinds))
	if err != nil {
		return nil, err
	}
	var words []string
	for _, k := range eventKinds {
		words = append(words, eventKindName(k))
	}
	var kinds []history.Kind
	for _, word := range asked {
		at, err := oneOf("kind", word, words)
		if err != nil {
			return nil, err
		}
		kinds = append(kinds, eventKinds[at])
	}
	return kinds, nil
}

// PastFinding is a finding from when it was raised to when it was gone.
type PastFinding struct {
	Kind      string     `json:"kind"`
	System    string     `json:"system"`
	Part      string     `json:"part"`       // place or actuator, may be empty
	PartWords string     `json:"part_words"` // the same for people
	Title     string     `json:"title"`      // in the words of the program of that day
	Text      string     `json:"text"`       // what was seen when it was raised
	Detail    string     `json:"detail"`
	Since     time.Time  `json:"since"` // civil time of the house
	Until     *time.Time `json:"until"` // null when it still stands
	Sure      bool       `json:"sure"`  // the clock was trusted at both ends
}

// PastFindings are the findings of a time, in the order in which they came.
type PastFindings struct {
	Trouble  string        `json:"trouble"` // why nothing is written now; empty when all is well
	Findings []PastFinding `json:"findings"`
	More     bool          `json:"more"` // there were more, and the oldest are left out: ask for less time
}

func readSpells(ctx context.Context, q *question) (any, error) {
	if err := q.query.only([]string{"from", "to"}); err != nil {
		return nil, err
	}
	from, to, err := q.query.between(mostEventDays)
	if err != nil {
		return nil, err
	}
	spells, err := q.history.Spells(ctx, from, to)
	if err != nil {
		return nil, err
	}
	shown := PastFindings{Trouble: q.trouble, Findings: []PastFinding{}}
	if over := len(spells) - mostEvents; over > 0 {
		spells, shown.More = spells[over:], true
	}
	for i := range spells {
		s := &spells[i]
		e := eventOf(&s.Raised, q.zone)
		shown.Findings = append(shown.Findings, PastFinding{
			Kind: e.What, System: e.System, Part: e.Part, PartWords: e.PartWords, Title: e.WhatWords, Text: e.Text, Detail: e.Detail,
			Since: e.Time, Until: civil(s.Until, q.zone), Sure: s.Sure,
		})
	}
	return shown, nil
}
