package door

import (
	"context"
	"net/http"
)

// Person is who asks.
type Person struct {
	Name string // as the web configuration has it, or in words who it is; for logs and records
	Role Role

	unnamed bool     // could come again with a name and a password
	refused *Refused // counts what he may not do; nil where nobody counts
}

type personKey struct{}

// As gives the request a person who asks. The door does this; beside it only what
// asks in the place of one, by another way in, and tests.
func As(r *http.Request, p Person) *http.Request {
	return r.WithContext(context.WithValue(r.Context(), personKey{}, p))
}

// PersonOf tells who asks; nobody when the request came through no door.
func PersonOf(r *http.Request) Person {
	p, _ := r.Context().Value(personKey{}).(Person)
	return p
}

// Refusal answers a request that is refused, with a status and with words that
// say what to do.
type Refusal func(w http.ResponseWriter, r *http.Request, status int, words string)

// Needs lets only those pass to next who have at least the role.
func Needs(role Role, refuse Refusal, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if p := PersonOf(r); !p.Role.May(role) {
			status := http.StatusForbidden
			if p.unnamed { // the browser asks for a name, and comes again
				w.Header().Set("WWW-Authenticate", challenge)
				status = http.StatusUnauthorized
			} else if p.refused != nil {
				p.refused.add(notAllowed)
			}
			refuse(w, r, status, notFor(p, role))
			return
		}
		next.ServeHTTP(w, r)
	})
}

func notFor(p Person, role Role) string {
	who := p.Name
	if who == "" {
		who = "Whoever asks here"
	}
	return who + " may " + p.Role.String() + ", and this takes somebody who may " + role.String() +
		". The site file says who may: see its table \"people\"."
}
