package door

import (
	"iter"
	"sync/atomic"
)

// Refused counts what doors have refused, by kind. Who was refused is not kept:
// nothing that comes from outside is. The zero value is ready for use; all its
// methods may be called from any goroutine.
type Refused struct {
	counts [len(refusedNames)]atomic.Uint64
}

type refusedKind uint8

const (
	wrongPassword refusedKind = iota
	tooManyTries
	wrongHost
	foreignPage
	badBody
	noPlace
	notAllowed
)

var refusedNames = [...]string{
	wrongPassword: "wrong_password",
	tooManyTries:  "too_many_tries",
	wrongHost:     "wrong_host",
	foreignPage:   "foreign_page",
	badBody:       "bad_body",
	noPlace:       "no_place",
	notAllowed:    "not_allowed",
}

func (r *Refused) add(kind refusedKind) { r.counts[kind].Add(1) }

// All gives every kind of refusal with how often there was one: a wrong password, a
// try while there were too many, a host name that is not the board's, a page of
// another origin, a body that could not be taken, a connection that had no place or had
// to make one, and what takes another
// role than that of who asks.
func (r *Refused) All() iter.Seq2[string, uint64] {
	return func(yield func(string, uint64) bool) {
		for kind, name := range refusedNames {
			if !yield(name, r.counts[kind].Load()) {
				return
			}
		}
	}
}
