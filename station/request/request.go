// Package request holds what a person may ask of the running daemon, and what
// is answered: the words that a page and the daemon share, so that the page
// needs to know nothing else of it.
//
// A request goes through the daemon's [Desk] to its next tick, which takes it
// between two steps of the controller; the answer comes when that tick is done,
// so that it tells what the outputs make of it, and why. Protections outrank
// all that is asked here.
package request

import (
	"context"
	"time"

	"sunstoker/control"
	"sunstoker/station/tick"
)

// Request is one of the types of this package that a person asks for.
type Request interface{ isRequest() }

// Boost asks a system for hot water now. Length 0 ends a boost.
type Boost struct {
	System int // index into the plan
	Length time.Duration
}

// Holiday tells that nobody will draw water. Length 0 ends a holiday.
type Holiday struct{ Length time.Duration }

// Override sets an output by hand. Length 0 ends an override.
type Override struct {
	Output int     // index into the plan
	Level  float64 // 0 to 1
	Length time.Duration
}

// Servicing begins or ends the service state.
type Servicing struct{ On bool }

// Settings changes settings of a system, or of the house, which is
// control.House. Values are written as in a site file, by the settings' names.
type Settings struct {
	System int
	Values map[string]string
}

// Undo takes the newest change of settings back. Number is that change's, so
// that who asks twice does not take back two.
type Undo struct{ Number int }

func (Boost) isRequest()     {}
func (Holiday) isRequest()   {}
func (Override) isRequest()  {}
func (Servicing) isRequest() {}
func (Settings) isRequest()  {}
func (Undo) isRequest()      {}

// Answer is what came of a request that was taken.
type Answer struct {
	Words  string     // one sentence for who asked
	Tick   *tick.Tick // that has taken it
	Change *Change    // that it has made of settings; nil when it has made none
}

// Refusal is the error of a request that was not taken. Its text says why and
// what to do.
type Refusal struct {
	Kind  RefusalKind
	Words string
}

// Error is the text.
func (r *Refusal) Error() string { return r.Words }

// RefusalKind tells why a request was refused.
type RefusalKind uint8

// The kinds of refusal.
const (
	Impossible RefusalKind = iota // it can't be done in this house, or not so
	Outdated                      // things are no longer as who asked has seen them
	Busy                          // the daemon has not come to it; it may be asked again
)

// Change is a change of settings that a person has made. It counts for as long
// as the site file says of these settings what it said then.
type Change struct {
	Number int       `json:"number"` // from 1, never given twice
	When   time.Time `json:"when"`   // zero when the clock was not set
	By     string    `json:"by"`
	System string    `json:"system"` // its name; empty for the house
	Values []Value   `json:"values"` // in the order of the settings table
}

// Value is what a change has made of one setting, written as in a site file.
type Value struct {
	Setting string `json:"setting"`
	From    string `json:"from"` // before the change
	To      string `json:"to"`
	File    string `json:"file"` // what the site file makes of it without any change
}

// Book is all that counts of settings: what the site file says and what was
// changed since. It is never changed once it was handed out.
type Book struct {
	File, Now Figures  // as the site file says, and as it is
	Changes   []Change // that count, oldest first
	Text      []byte   // of the site file with the changes in it
}

// Figures are the settings of a house.
type Figures struct {
	House   control.Settings
	Systems []control.Settings // in the plan's order
}

// Of gives the settings of a system, or of the house, which is control.House.
func (f *Figures) Of(system int) *control.Settings {
	if system == control.House {
		return &f.House
	}
	return &f.Systems[system]
}

// Desk takes requests. Its methods may be called from any goroutine.
type Desk interface {
	// Ask hands a request to the next tick and waits for its answer, no longer
	// than the context lives. By says who asks, for the record. The error is a
	// *Refusal.
	Ask(ctx context.Context, by string, r Request) (*Answer, error)
	// Book tells what counts now.
	Book() *Book
}
